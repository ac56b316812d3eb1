//! Any bytes as a photo: facts and pixels, or a reason; never more memory than a picture of the stated size.
#![no_main]

use eavewright::input::picture;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    if let Err(error) = picture::upright(bytes) {
        assert!(!error.to_string().is_empty());
    }
});
