//! Any bytes as a photo: facts and pixels, or a reason; never more memory than a picture of the stated size.

use eavewright::input::picture;

pub fn check(bytes: &[u8]) {
    if let Err(error) = picture::upright(bytes) {
        assert!(!error.to_string().is_empty());
    }
}
