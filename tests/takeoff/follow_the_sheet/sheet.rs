//! What `takeoff --json --rows` says, read into plain structures. Nothing else is known here of the tool.

use serde_json::Value;

pub type Place = [f64; 2];

#[derive(Clone, Debug)]
pub struct Sheet {
    pub faces: Vec<Face>,
    pub caps: Vec<Caps>,
    /// Item and quantity of every line that has one.
    pub lines: Vec<(String, f64)>,
    /// Steps of work, in order.
    pub work: Vec<Step>,
}

#[derive(Clone, Debug)]
pub struct Step {
    pub kind: String,
    pub faces: Vec<String>,
    pub values: Value,
}

#[derive(Clone, Debug)]
pub struct Face {
    pub name: String,
    pub courses: usize,
    pub gauge: f64,
    pub whole: usize,
    pub cut: usize,
    pub from_offcuts: usize,
    pub turn: usize,
    pub from_left: bool,
    pub kind: String,
    pub caps_each: usize,
    pub width: f64,
    pub height: f64,
    pub tab: f64,
    pub layers: usize,
    pub head_lap: f64,
    pub least_offset: f64,
    pub starter_offset: f64,
    pub least_end: f64,
    pub shortest_offcut: f64,
    pub waste: f64,
    pub narrow_ends: usize,
    /// Shifts of the bond's repeat, in steps.
    pub shifts: Vec<f64>,
    pub starters: Vec<Starter>,
    pub verge_starters: usize,
    pub rows: Vec<Row>,
    pub outline: Vec<Vec<Place>>,
    pub openings: Vec<Vec<Place>>,
    pub covers: Vec<Cover>,
    pub lapped: Vec<Cover>,
    pub valleys: Vec<Valley>,
}

#[derive(Clone, Debug)]
pub struct Starter {
    pub butt: f64,
    pub height: f64,
    pub first: f64,
    pub joints: Vec<f64>,
    pub pieces: Vec<[f64; 2]>,
}

#[derive(Clone, Debug)]
pub struct Row {
    pub course: usize,
    pub butt: f64,
    pub from: f64,
    pub to: f64,
    pub first: f64,
    pub last: f64,
    pub joints: Vec<f64>,
    pub pieces: Vec<Piece>,
}

#[derive(Clone, Debug)]
pub struct Piece {
    pub number: usize,
    pub from: f64,
    pub to: f64,
    pub uncut_from: f64,
    pub cut: bool,
    pub offcut_of: Option<(String, usize, usize)>,
}

#[derive(Clone, Debug)]
pub struct Cover {
    pub line: [Place; 2],
    pub by: f64,
}

#[derive(Clone, Debug)]
pub struct Valley {
    pub line: [Place; 2],
    pub no_joint_within: Option<f64>,
    /// Whether it is to the right of the face.
    pub is_right: bool,
}

#[derive(Clone, Debug)]
pub struct Caps {
    pub length: f64,
    pub count: f64,
    pub doubled: f64,
    pub closing: f64,
    pub exposure: f64,
    pub last_covers: f64,
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no number {key} in {value}"))
}

fn count(value: &Value, key: &str) -> usize {
    usize::try_from(value[key].as_u64().unwrap_or_else(|| panic!("no count {key} in {value}"))).unwrap()
}

fn word(value: &Value, key: &str) -> String {
    value[key].as_str().unwrap_or_else(|| panic!("no word {key} in {value}")).to_owned()
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("no list {key} in {value}"))
}

fn numbers(value: &Value, key: &str) -> Vec<f64> {
    list(value, key).iter().map(|each| each.as_f64().unwrap()).collect()
}

fn place(value: &Value) -> Place {
    [value[0].as_f64().unwrap(), value[1].as_f64().unwrap()]
}

fn rings(value: &Value, key: &str) -> Vec<Vec<Place>> {
    list(value, key).iter().map(|ring| ring.as_array().unwrap().iter().map(place).collect()).collect()
}

impl Sheet {
    pub fn read(answer: &Value) -> Self {
        let quantity = |line: &Value| Some((word(line, "item"), line["quantity"].as_f64()?));
        Self {
            faces: list(answer, "layout").iter().map(Face::read).collect(),
            caps: list(answer, "caps").iter().map(Caps::read).collect(),
            lines: list(answer, "lines").iter().filter_map(quantity).collect(),
            work: list(answer, "work").iter().map(Step::read).collect(),
        }
    }

    pub fn quantity(&self, item: &str) -> f64 {
        self.lines.iter().find(|(other, _)| other == item).map_or(0.0, |(_, quantity)| *quantity)
    }
}

impl Face {
    fn read(value: &Value) -> Self {
        let piece = &value["piece"];
        let starters: Vec<Starter> = list(value, "starters").iter().map(Starter::read).collect();
        // The one starter that is told is the first of all.
        assert_eq!(value["starter"].is_null(), starters.is_empty());
        if let Some(first) = starters.first() {
            assert_eq!(numbers(&value["starter"], "joints"), first.joints);
        }
        let cover =
            |value: &Value| Cover { line: [place(&value["from"]), place(&value["to"])], by: number(value, "by") };
        let valley = |value: &Value| Valley {
            line: [place(&value["from"]), place(&value["to"])],
            no_joint_within: value["no_joint_within"].as_f64(),
            is_right: word(value, "hand") == "right",
        };
        Self {
            name: word(value, "face"),
            courses: count(value, "courses"),
            gauge: number(value, "gauge"),
            whole: count(value, "pieces_whole"),
            cut: count(value, "pieces_cut"),
            from_offcuts: count(value, "pieces_from_offcuts"),
            turn: count(value, "turn"),
            from_left: word(value, "from") == "left",
            kind: word(piece, "kind"),
            caps_each: count(piece, "caps_each"),
            width: number(piece, "width"),
            height: number(piece, "height"),
            tab: number(piece, "tab"),
            layers: count(piece, "layers"),
            head_lap: number(piece, "head_lap"),
            least_offset: number(piece, "least_offset"),
            starter_offset: number(piece, "starter_offset"),
            least_end: number(piece, "least_end"),
            shortest_offcut: number(piece, "shortest_offcut"),
            waste: number(value, "waste"),
            narrow_ends: count(value, "narrow_ends"),
            shifts: if value["bond"].is_null() { Vec::new() } else { numbers(&value["bond"], "shifts") },
            starters,
            verge_starters: count(value, "verge_starters"),
            rows: list(value, "rows").iter().map(Row::read).collect(),
            outline: rings(value, "outline"),
            openings: rings(value, "openings"),
            covers: list(value, "covers").iter().map(cover).collect(),
            lapped: list(value, "lapped").iter().map(cover).collect(),
            valleys: list(value, "valleys").iter().map(valley).collect(),
        }
    }
}

impl Step {
    fn read(value: &Value) -> Self {
        let name = |face: &Value| face.as_str().unwrap().to_owned();
        Self {
            kind: word(value, "step"),
            faces: list(value, "faces").iter().map(name).collect(),
            values: value["values"].clone(),
        }
    }

    pub fn number(&self, key: &str) -> f64 {
        number(&self.values, key)
    }

    /// A list; of one number it stands without brackets.
    pub fn numbers(&self, key: &str) -> Vec<f64> {
        self.values[key].as_f64().map_or_else(|| numbers(&self.values, key), |one| vec![one])
    }
}

impl Starter {
    fn read(value: &Value) -> Self {
        Self {
            butt: number(value, "butt"),
            height: number(value, "height"),
            first: number(value, "first"),
            joints: numbers(value, "joints"),
            pieces: list(value, "pieces").iter().map(place).collect(),
        }
    }
}

impl Row {
    fn read(value: &Value) -> Self {
        Self {
            course: count(value, "course"),
            butt: number(value, "butt"),
            from: number(value, "from"),
            to: number(value, "to"),
            first: number(value, "first"),
            last: number(value, "last"),
            joints: numbers(value, "joints"),
            pieces: list(value, "pieces").iter().map(Piece::read).collect(),
        }
    }
}

impl Piece {
    fn read(value: &Value) -> Self {
        let offcut = &value["offcut_of"];
        Self {
            number: count(value, "piece"),
            from: number(value, "from"),
            to: number(value, "to"),
            uncut_from: number(value, "uncut_from"),
            cut: value["cut"].as_bool().unwrap(),
            offcut_of: (!offcut.is_null())
                .then(|| (word(offcut, "face"), count(offcut, "course"), count(offcut, "piece"))),
        }
    }
}

impl Caps {
    fn read(value: &Value) -> Self {
        Self {
            length: number(value, "length"),
            count: number(value, "caps"),
            doubled: number(value, "doubled"),
            closing: number(value, "closing"),
            exposure: number(value, "exposure"),
            last_covers: number(value, "last_covers"),
        }
    }
}
