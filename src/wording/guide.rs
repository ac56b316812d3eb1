//! The steps of a first roof in the window: what each is called, and what is done in it.

/// Title and words of each step, in their order.
pub const STEPS: [(&str, &str); 6] = [
    (
        "walk round it",
        "Type the length of each side as the tape reads it, walking with the roof on your left; Enter goes down to the next. \
         A side no tape reached is \"?\". Say what each side is: an eave, a verge, a wall that the roof runs against.",
    ),
    (
        "make the tape prove itself",
        "Add a tape from corner to corner, best a diagonal: it shows whether the corners are square, and a length misread by a \
         metre is named. Without one, what you typed is believed.",
    ),
    (
        "the pitch",
        "Type the pitch of each eave, in degrees or as 7:12, and behind … how it was found: how sure the areas are hangs on it. \
         The height is that of the eaves above the ground you stand on.",
    ),
    ("what stands in it", "Add chimneys, roof windows and dormers, or go on: each costs courses, flashing and cuts."),
    (
        "the covering",
        "Choose the card of what is laid; the order on the right follows. Prices may wait. What forbids the covering stands \
         first, on the right: a pitch that is too flat for it, a deck that is too thin.",
    ),
    (
        "look it over",
        "Read what casts doubt, on the right, and mend it. Turn the roof, open the plan. Then save (Ctrl+S), and write the job \
         sheet (Ctrl+P). Before anything is cut or ordered, what the sheet tells to check on site is checked there.",
    ),
];
