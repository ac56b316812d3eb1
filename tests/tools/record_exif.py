"""Makes small photos with EXIF data by general-purpose libraries and records what those libraries read back.

Run by hand where the recorded files are to be made anew:

    python -m venv venv && venv/bin/pip install Pillow==13.0.0 piexif==1.1.3 pillow-heif==1.8.1
    venv/bin/python tests/tools/record_exif.py

The picture is invented: four fields of colour. Pillow turns it as EXIF says (`ImageOps.exif_transpose`) and tells the
colours in the corners; piexif writes the tags; pillow-heif writes the HEIC file.
"""

import io
import json
import pathlib

import piexif
import pillow_heif
from PIL import Image, ImageOps

folder = pathlib.Path(__file__).resolve().parent.parent / "data" / "survey" / "exif"
folder.mkdir(exist_ok=True)
WIDE, HIGH = 48, 32
RED, GREEN, BLUE, WHITE = (200, 30, 30), (30, 160, 30), (30, 30, 200), (240, 240, 240)


def upright():
    picture = Image.new("RGB", (WIDE, HIGH))
    fields = [(0, 0, RED), (1, 0, GREEN), (0, 1, BLUE), (1, 1, WHITE)]
    for x, y, colour in fields:
        box = (x * WIDE // 2, y * HIGH // 2, (x + 1) * WIDE // 2, (y + 1) * HIGH // 2)
        picture.paste(colour, box)
    return picture


# How a picture has to be stored so that a viewer that follows each orientation shows it upright.
STORED = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}


def jpeg(picture, zeroth, exif, gps=None):
    out = io.BytesIO()
    data = piexif.dump({"0th": zeroth, "Exif": exif} | ({"GPS": gps} if gps else {}))
    picture.save(out, "JPEG", quality=40, subsampling=0, optimize=True, exif=data)
    return out.getvalue()


answers = {"made_with": "Pillow 13.0.0, piexif 1.1.3, pillow-heif 1.8.1", "files": {}}


def record(name, data):
    (folder / name).write_bytes(data)
    picture = Image.open(io.BytesIO(data))
    turned = ImageOps.exif_transpose(picture).convert("RGB")
    wide, high = turned.size
    corners = [turned.getpixel(at) for at in [(4, 4), (wide - 5, 4), (4, high - 5), (wide - 5, high - 5)]]
    answers["files"][name] = {"size": [wide, high], "corners": corners}
    position = picture.getexif().get_ifd(0x8825)
    if position:
        # GPSImgDirectionRef and GPSImgDirection.
        answers["files"][name]["compass"] = [position.get(16), float(position[17])]


for orientation, turn in STORED.items():
    stored = upright() if turn is None else upright().transpose(turn)
    record(f"orientation_{orientation}.jpg", jpeg(stored, {piexif.ImageIFD.Orientation: orientation}, {}))

taken = {piexif.ExifIFD.PixelXDimension: WIDE, piexif.ExifIFD.PixelYDimension: HIGH}
record(
    "focal_35.jpg",
    jpeg(upright(), {}, taken | {piexif.ExifIFD.FocalLength: (425, 100), piexif.ExifIFD.FocalLengthIn35mmFilm: 26}),
)
record(
    "focal_by_sensor.jpg",
    jpeg(
        upright(),
        {},
        taken
        | {
            piexif.ExifIFD.FocalLength: (24, 1),
            # Pixels a centimetre of the sensor.
            piexif.ExifIFD.FocalPlaneXResolution: (20, 1),
            piexif.ExifIFD.FocalPlaneYResolution: (20, 1),
            piexif.ExifIFD.FocalPlaneResolutionUnit: 3,
        },
    ),
)
record(
    "digital_zoom.jpg",
    jpeg(
        upright(),
        {},
        taken | {piexif.ExifIFD.FocalLengthIn35mmFilm: 52, piexif.ExifIFD.DigitalZoomRatio: (2, 1)},
    ),
)
record(
    "cropped.jpg",
    jpeg(
        upright().crop((0, 0, 32, 32)),
        {},
        taken | {piexif.ExifIFD.FocalLengthIn35mmFilm: 26},
    ),
)
direction = {piexif.GPSIFD.GPSImgDirection: (14325, 100)}
lens = taken | {piexif.ExifIFD.FocalLengthIn35mmFilm: 26}
record("compass_true.jpg", jpeg(upright(), {}, lens, direction | {piexif.GPSIFD.GPSImgDirectionRef: "T"}))
record("compass_magnetic.jpg", jpeg(upright(), {}, lens, direction | {piexif.GPSIFD.GPSImgDirectionRef: "M"}))
record("compass_unsaid.jpg", jpeg(upright(), {}, lens, direction))
record("no_exif.jpg", (lambda out: (upright().save(out, "JPEG", quality=40), out.getvalue())[1])(io.BytesIO()))

png = io.BytesIO()
upright().transpose(STORED[6]).save(
    png, "PNG", exif=piexif.dump({"0th": {piexif.ImageIFD.Orientation: 6}, "Exif": {piexif.ExifIFD.FocalLengthIn35mmFilm: 26}})
)
record("turned.png", png.getvalue())

heic = io.BytesIO()
pillow_heif.from_pillow(upright().resize((192, 128))).save(
    heic,
    quality=30,
    exif=piexif.dump(
        {
            "0th": {},
            "Exif": {
                piexif.ExifIFD.PixelXDimension: 192,
                piexif.ExifIFD.PixelYDimension: 128,
                piexif.ExifIFD.FocalLengthIn35mmFilm: 26,
            },
        }
    ),
)
(folder / "front.heic").write_bytes(heic.getvalue())
answers["files"]["front.heic"] = {"size": [192, 128], "corners": []}

lines = ",\n".join(f"    {json.dumps(name)}: {json.dumps(answer)}" for name, answer in answers["files"].items())
text = f'{{\n  "made_with": {json.dumps(answers["made_with"])},\n  "files": {{\n{lines}\n  }}\n}}\n'
(folder / "answers.json").write_text(text)
