//! The registry of fields: every kind of claim that this version understands.
//!
//! Invariant: a claim's kind is `<subject word>.<field>`, and each kind stands here once with the
//! type of its value and of its context. To add a kind, add a line. One file past 400 lines, since
//! it is one table.

use std::any::TypeId;
use std::collections::HashMap;
use std::marker::PhantomData;
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

use schemars::JsonSchema;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::members;
use crate::ids::{Hash, ItemId};
use crate::model::context::*;
use crate::model::values::*;
use crate::subject::SubjectKind;

/// A typed field: which subject has it, its name, and whether repeats are lines of their own.
#[derive(Debug)]
pub struct Field<T, C = Said> {
    /// Which subjects have it.
    pub subject: SubjectKind,
    /// Name within the subject.
    pub name: &'static str,
    /// Whether separate claims are repeats (many) or corrections of one value.
    pub many: bool,
    _types: PhantomData<fn() -> (T, C)>,
}

impl<T, C> Clone for Field<T, C> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<T, C> Copy for Field<T, C> {}

impl<T, C> Field<T, C> {
    const fn new(subject: SubjectKind, name: &'static str, many: bool) -> Self {
        Field {
            subject,
            name,
            many,
            _types: PhantomData,
        }
    }

    /// The kind of an entry that claims this field.
    #[must_use]
    pub fn kind(&self) -> String {
        format!("{}.{}", self.subject.word(), self.name)
    }
}

/// A field as the registry lists it, with its types erased.
#[derive(Clone, Copy, Debug)]
pub struct FieldSpec {
    /// Which subjects have it.
    pub subject: SubjectKind,
    /// Name within the subject.
    pub name: &'static str,
    /// Whether separate claims are repeats.
    pub many: bool,
    /// The command with rules of its own that alone says it: a decision or a reading. None for a
    /// plain fact.
    pub command: Option<&'static str>,
    /// One line on what it says.
    pub doc: &'static str,
    /// Whether a value fits the field's type.
    pub value_fits: fn(&Value) -> Result<(), String>,
    /// The same for what is said now: its fields are named and known, where one in the record may also be
    /// told by their order, or have grown.
    pub value_named: fn(&Value) -> Result<(), String>,
    /// Whether a context fits the field's type.
    pub context_fits: fn(&Value) -> Result<(), String>,
    /// The same for what is said now.
    pub context_named: fn(&Value) -> Result<(), String>,
    /// Schema of the value.
    #[cfg(test)]
    pub(super) value_schema: fn() -> schemars::Schema,
}

fn fits<T: DeserializeOwned + Serialize>(value: &Value) -> Result<(), String> {
    T::deserialize(value).map(drop).map_err(|e| e.to_string())
}

fn named<T: DeserializeOwned + Serialize + JsonSchema + 'static>(
    value: &Value,
) -> Result<(), String> {
    let read = T::deserialize(value).map_err(|e| e.to_string())?;
    let whole = serde_json::to_value(read).map_err(|e| e.to_string())?;
    if !lists_alike(value, &whole) {
        return Err("a list stands where fields are named".to_owned());
    }
    match members::unknown(&schema_of::<T>(), value) {
        None => Ok(()),
        Some(at) => Err(format!("{at} is not known here; is the name spelt right?")),
    }
}

/// The schema of a type, made the first time it is asked for: a survey says thousands of words of few types.
fn schema_of<T: JsonSchema + 'static>() -> Arc<Value> {
    static MADE: LazyLock<Mutex<HashMap<TypeId, Arc<Value>>>> = LazyLock::new(Mutex::default);
    let mut made = MADE.lock().unwrap_or_else(PoisonError::into_inner);
    let schema = made
        .entry(TypeId::of::<T>())
        .or_insert_with(|| Arc::new(schemars::schema_for!(T).to_value()));
    Arc::clone(schema)
}

/// Whether a value has a list nowhere but where its type writes one.
fn lists_alike(told: &Value, whole: &Value) -> bool {
    match (told, whole) {
        (Value::Array(told), Value::Array(whole)) => {
            told.iter().zip(whole).all(|(t, w)| lists_alike(t, w))
        }
        (Value::Array(_), _) => false,
        (Value::Object(told), Value::Object(whole)) => told
            .iter()
            .filter_map(|(name, field)| Some((field, whole.get(name)?)))
            .all(|(t, w)| lists_alike(t, w)),
        _ => true,
    }
}

macro_rules! fields {
    ($($(#[doc = $doc:literal])+ $konst:ident: $value:ty, $context:ty = $many:ident $subject:ident $name:literal $(by $command:literal)?;)*) => {
        $($(#[doc = $doc])+ pub const $konst: Field<$value, $context> =
            Field::new(SubjectKind::$subject, $name, fields!(@ $many));)*

        /// Every field this version understands.
        pub const ALL: &[FieldSpec] = &[$(FieldSpec {
            subject: SubjectKind::$subject,
            name: $name,
            many: fields!(@ $many),
            command: fields!(@by $($command)?),
            doc: concat!($($doc),+),
            value_fits: fits::<$value>,
            value_named: named::<$value>,
            context_fits: fits::<$context>,
            context_named: named::<$context>,
            #[cfg(test)]
            value_schema: || schemars::schema_for!($value),
        }),*];
    };
    (@ one) => { false };
    (@ many) => { true };
    (@by) => { None };
    (@by $command:literal) => { Some($command) };
}

fields! {
    /// Title of the job.
    JOB_TITLE: Text, Said = one Job "title";
    /// Address.
    JOB_PLACE: Text, Said = one Job "place";
    /// Owner.
    JOB_OWNER: Text, Said = one Job "owner";
    /// Certifier or inspector.
    JOB_CERTIFIER: Text, Said = one Job "certifier";
    /// Number of the permit.
    JOB_PERMIT: Text, Said = one Job "permit";
    /// Date of the permit, which fixes the edition of the rules.
    JOB_PERMIT_DATE: Day, Said = one Job "permitDate";
    /// Class of the building.
    JOB_BUILDING_CLASS: Text, Said = one Job "buildingClass";
    /// The rule set in force, copied whole.
    JOB_RULE_SET: RuleSetCopy, Said = one Job "ruleSet" by "useRuleSet";
    /// Height of the fall beside the barrier.
    JOB_FALL: Length, Said = one Job "fall";
    /// What is below.
    JOB_BELOW: Text, Said = one Job "below";
    /// A pool whose boundary the barrier is.
    JOB_POOL: Flag, Said = one Job "pool";
    /// Young children live or visit here.
    JOB_CHILDREN: Flag, Said = one Job "children";
    /// Distance to salt water or surf.
    JOB_SALT_DISTANCE: Length, Said = one Job "saltDistance";
    /// Chlorine nearby.
    JOB_CHLORINE: Flag, Said = one Job "chlorine";
    /// Washed by rain (true) or sheltered (false).
    JOB_WASHED: Flag, Said = one Job "washedByRain";
    /// Steel grade and why.
    JOB_STEEL: Text, Said = one Job "steel";
    /// Dissimilar metals that touch.
    JOB_METALS: Text, Said = one Job "dissimilarMetals";
    /// Things to climb on.
    JOB_CLIMBABLES: Text, Said = one Job "climbables";
    /// Drilling hazards.
    JOB_HAZARDS: Text, Said = one Job "drillingHazards";
    /// Access.
    JOB_ACCESS: Text, Said = one Job "access";
    /// Coming floor covering, its thickness.
    JOB_COMING_FLOOR: Length, Said = one Job "comingFloor";
    /// Wood that stays between two holes in a post, as the engineer or the crew wants it.
    JOB_LEAST_WOOD: Length, Said = one Job "leastWood";
    /// What a take-off adds for samples, rejects and spares.
    JOB_ALLOWANCES: Allowances, Said = one Job "allowances";
    /// How strand is cut: kerf, trimming, least usable leftover, the reel that could be ordered.
    JOB_CUTTING: CuttingRules, Said = one Job "cutting";
    /// A trial pressing, pulled, to which the day's crimps refer.
    JOB_SAMPLE_CRIMP: SampleCrimp, CrimpRead = many Job "sampleCrimp" by "addSampleCrimp";
    /// A note on the job.
    JOB_NOTE: Text, Said = many Job "note";
    /// A person's statement on a stage; place is the stage.
    JOB_SIGN_OFF: SignOff, Told = many Job "signOff" by "signOff";
    /// Why a piece of evidence stays away; place is the evidence.
    JOB_EVIDENCE_WAIVED: Text, Said = one Job "evidenceWaived";
    /// A call-back: complaint, cause, found, done.
    JOB_CALL_BACK: Text, Said = many Job "callBack";
    /// A call-back with its complaint, cause, what was found and done, each apart.
    JOB_CALLED_BACK: CallBack, Said = many Job "calledBack";

    /// Name of the run.
    RUN_NAME: Text, Said = one Run "name";
    /// What it stands on.
    RUN_SURFACE: Surface, Said = one Run "surface";
    /// Level or raked.
    RUN_SHAPE: Shape, Said = one Run "shape";
    /// Fall beside this run, where it differs from the job's.
    RUN_FALL: Length, Said = one Run "fall";
    /// Top of the barrier above the floor or nosings.
    RUN_HEIGHT: Length, Said = one Run "height";
    /// Slope of a raked run.
    RUN_SLOPE: Slope, Said = one Run "slope";
    /// Top rail.
    RUN_RAIL: Rail, Said = one Run "rail";
    /// Number of wires.
    RUN_WIRE_COUNT: Whole, Said = one Run "wireCount";
    /// Heights of the wires.
    RUN_WIRE_HEIGHTS: WireHeights, Said = one Run "wireHeights";
    /// Whether wire heights are marked from the floor at each post (true), or level from the first
    /// post's floor (false).
    RUN_FOLLOWS_FLOOR: Flag, Said = one Run "followsFloor";
    /// Whether the rail runs at one height above the floor (true), or level from the first post (false).
    RUN_RAIL_FOLLOWS_FLOOR: Flag, Said = one Run "railFollowsFloor";
    /// Which of the job's strands.
    RUN_STRAND: ItemId, Said = one Run "strand";
    /// Which of the job's fitting sets.
    RUN_FITTING_SET: ItemId, Said = one Run "fittingSet";
    /// How warm it is when its strand is cut, and when it will be tensioned.
    RUN_WARMTH: CutWarmth, Said = one Run "warmth";
    /// Required, set and upper tension and the passes.
    RUN_TENSIONS: Tensions, Told = one Run "tensions" by "setTensions";
    /// A lowest or measured opening that belongs to the run as a whole.
    RUN_OPENING: Opening, OpeningRead = many Run "opening";
    /// What lines the holes through intermediate posts.
    RUN_LINING: Lining, Said = one Run "lining";
    /// Which wire is fitted first.
    RUN_TRIAL_WIRE: Whole, Said = one Run "trialWire";
    /// The look before the second ends are pressed, for the wires that are threaded by then.
    RUN_BEFORE_SECOND_END: BeforeSecondEnd, Said = one Run "beforeSecondEnd";
    /// A note on the run.
    RUN_NOTE: Text, Said = many Run "note";

    /// Name of the post.
    POST_NAME: Text, Said = one Post "name";
    /// Middle of the post along a run; place is the run.
    POST_POSITION: Length, Said = one Post "position";
    /// What it does in a run; place is the run.
    POST_ROLE: PostRole, Said = one Post "role";
    /// The end of a run at this post; place is the run.
    POST_END: End, Said = one Post "end";
    /// What carries the wire here.
    POST_SUPPORT: Support, Said = one Post "support";
    /// Cross section.
    POST_SECTION: Section, Said = one Post "section";
    /// Material.
    POST_MATERIAL: Material, Said = one Post "material";
    /// Base fixing.
    POST_BASE: BaseFixing, Said = one Post "base";
    /// How the rail meets it.
    POST_RAIL_JOINT: RailJoint, Said = one Post "railJoint";
    /// Condition.
    POST_CONDITION: Condition, Said = one Post "condition";
    /// Floor level at the post against the first one, up positive.
    POST_FLOOR: Length, Said = one Post "floor";
    /// Angle between two pulls on the post seen from above; place is the run for the two legs of a
    /// corner, `<run>/<run>` in the order of their ids for two runs.
    POST_ANGLE: Angle, Said = one Post "angle";
    /// Friction of the wires where the run turns at the post; place is the run.
    POST_FRICTION: Friction, Said = one Post "friction";
    /// A known pull on the post and how far it moved; place is the run along which it was pulled.
    POST_PULL: KnownPull, PullRead = many Post "pull" by "readPull";
    /// Most tension in each wire that the engineer allows at this post.
    POST_TENSION_LIMIT: Force, Said = one Post "tensionLimit";
    /// Opening as built at this post; place tells where.
    POST_OPENING: Opening, OpeningRead = many Post "opening";
    /// Centre to centre of two wires as drilled; place is `<run>/<lower wire>`.
    POST_DRILLED: Length, Said = one Post "drilled";
    /// A note on the post.
    POST_NOTE: Text, Said = many Post "note";

    /// Clear distance between the posts, face to face.
    BAY_CLEAR: Length, BayRead = many Bay "clear" by "measureBay";
    /// The lowest floor between the posts, where it lies below the line from one to the other.
    BAY_LOW_SPOT: LowSpot, Said = one Bay "lowSpot";
    /// A gap check; place is `<run>` for all of it or `<run>/<lower wire>` for one opening.
    BAY_GAPS: GapCheck, GapRead = many Bay "gaps" by "checkGaps";
    /// A note on the bay.
    BAY_NOTE: Text, Said = many Bay "note";

    /// Inside to inside at this wire.
    WIRE_LENGTH: Length, LengthRead = many Wire "length" by "measure";
    /// Released for cutting; place is the piece.
    WIRE_CUT_ISSUED: CutIssue, Told = one Wire "cutIssued" by "issueCuts";
    /// Cut; place is the piece.
    WIRE_CUT: CutMade, OnPiece = one Wire "cut" by "tickWires";
    /// What may still be used of a piece that was taken out; place is the piece.
    WIRE_KEPT: Length, OnPiece = one Wire "kept" by "keepOffcut";
    /// Which piece of strand is in place.
    WIRE_PIECE: Piece, TakenOut = one Wire "piece" by "remakeWire";
    /// An act ticked off; place is `<act>/<piece>`.
    WIRE_DONE: Flag, OnPiece = one Wire "done" by "tickWires";
    /// A crimp as checked; place is the end's post.
    WIRE_CRIMP: Crimp, CrimpRead = many Wire "crimp" by "checkCrimps";
    /// Thread left showing at an end; place is the end's post.
    WIRE_THREAD_LEFT: Length, OnPiece = many Wire "threadLeft" by "readEnd";
    /// Turn-in at an end; place is the end's post.
    WIRE_TURNS: Turns, OnPiece = many Wire "turns" by "readEnd";
    /// Mark moved at an end; place is the end's post.
    WIRE_MARK_MOVED: Length, OnPiece = many Wire "markMoved" by "readEnd";
    /// How far a fitted wire is too long (above zero) or too short, both ends together, hand tight.
    WIRE_OUT_BY: Length, OnPiece = many Wire "outBy" by "readOutBy";
    /// Engagement mark hidden at an end; place is the end's post.
    WIRE_MARK_HIDDEN: Flag, OnPiece = many Wire "markHidden" by "readEnd";
    /// Lock nut tight at an end; place is the end's post.
    WIRE_NUT_TIGHT: Flag, OnPiece = many Wire "nutTight" by "readEnd";
    /// How far the wire's end stands out of the swage at an end; place is the end's post.
    WIRE_END_OUT: Length, OnPiece = many Wire "endOut" by "readEnd";
    /// A tension; place is the bay where it was read, as `<post>:<post>`.
    WIRE_TENSION: Force, TensionRead = many Wire "tension" by "readTension";
    /// Deflection under a hung mass; place is the bay.
    WIRE_DEFLECTION: Deflection, TensionRead = many Wire "deflection" by "readDeflection";
    /// A note on the wire.
    WIRE_NOTE: Text, Said = many Wire "note";

    /// Caption.
    PHOTO_CAPTION: Text, Said = one Photo "caption";
    /// When it was taken.
    PHOTO_TAKEN: Taken, Said = one Photo "taken";
    /// Where it was taken.
    PHOTO_POSITION: Position, Said = one Photo "position";
    /// What the file's EXIF says, as text.
    PHOTO_EXIF: PhotoExif, Said = one Photo "exif" by "addPhoto";
    /// What it shows; place is the subject.
    PHOTO_SHOWS: Flag, Shows = one Photo "shows" by "tiePicture";
    /// Marks on a copy of it; its files keep their bytes.
    PHOTO_MARKS: Marks, Said = one Photo "marks" by "markPicture";
    /// A note on the photo.
    PHOTO_NOTE: Text, Said = many Photo "note";

    /// Name of the document.
    DOCUMENT_NAME: Text, Said = one Document "name";
    /// What it is about; place is the subject.
    DOCUMENT_SHOWS: Flag, Shows = one Document "shows" by "tiePicture";
    /// A note on the document.
    DOCUMENT_NOTE: Text, Said = many Document "note";

    /// What is wrong.
    DEFECT_FOUND: Text, Said = one Defect "found";
    /// What it is about.
    DEFECT_ABOUT: AboutSubject, Said = one Defect "about";
    /// How it was put right.
    DEFECT_CLOSED: Closing, Said = one Defect "closed";
    /// A note on the defect.
    DEFECT_NOTE: Text, Said = many Defect "note";

    /// Name or number of the tool.
    TOOL_NAME: Text, Said = one Tool "name";
    /// Kind of tool.
    TOOL_KIND: ToolKind, Said = one Tool "kind";
    /// Range, in words.
    TOOL_RANGE: Text, Said = one Tool "range";
    /// Least tension that the tool can read.
    TOOL_RANGE_FROM: Force, Said = one Tool "rangeFrom";
    /// Largest tension that the tool can read.
    TOOL_RANGE_TO: Force, Said = one Tool "rangeTo";
    /// Error as a share of the reading; in parts of ten thousand.
    TOOL_ERROR: Whole, Said = one Tool "errorPer10000";
    /// Compared with what.
    TOOL_COMPARED_WITH: Text, Said = one Tool "comparedWith";
    /// When it was compared.
    TOOL_COMPARED_ON: Day, Said = one Tool "comparedOn";
    /// When it is due again.
    TOOL_DUE: Day, Said = one Tool "due";
    /// Number of the certificate.
    TOOL_CERTIFICATE: Text, Said = one Tool "certificate";
    /// Size of a probe, or of what a die presses.
    TOOL_SIZE: Length, Said = one Tool "size";
    /// Mass as weighed, milligrams.
    TOOL_MASS: Whole, Said = one Tool "massMg";
    /// From which end a laser's distance counts.
    TOOL_REFERENCE: LaserReference, Said = one Tool "reference";
    /// A note on the tool.
    TOOL_NOTE: Text, Said = many Tool "note";

    /// What was delivered.
    BATCH_NAME: Text, Said = one Batch "name";
    /// Kind of delivery.
    BATCH_KIND: BatchKind, Said = one Batch "kind";
    /// Grade of the steel.
    BATCH_GRADE: Text, Said = one Batch "grade";
    /// Heat or lot number.
    BATCH_HEAT: Text, Said = one Batch "heat";
    /// Reel number.
    BATCH_REEL: Text, Said = one Batch "reel";
    /// Lay of the strand.
    BATCH_LAY: Text, Said = one Batch "lay";
    /// Thread of the fittings.
    BATCH_THREAD: Text, Said = one Batch "thread";
    /// Day for which it was promised.
    BATCH_PROMISED: Day, Said = one Batch "promised";
    /// Metres of strand on it.
    BATCH_METRES: Length, Said = one Batch "metres";
    /// Which of the job's strands it is, where there are several.
    BATCH_STRAND: ItemId, Said = one Batch "strand";
    /// A length left over from elsewhere (true), cut before any reel.
    BATCH_OFFCUT: Flag, Said = one Batch "offcut";
    /// Strand of it that was thrown away uncut: kinked, spoilt, taken for samples.
    BATCH_SCRAPPED: Length, Said = many Batch "scrapped" by "scrapStrand";
    /// How the left hand is marked.
    BATCH_LEFT_MARK: Text, Said = one Batch "leftMark";
    /// Pieces ordered, each hand.
    BATCH_ORDERED: Whole, Said = one Batch "ordered";
    /// Counts on arrival.
    BATCH_ARRIVAL: Arrival, Said = one Batch "arrival";
    /// A note on the batch.
    BATCH_NOTE: Text, Said = many Batch "note";

    /// Day of the visit.
    VISIT_DAY: Day, Said = one Visit "day";
    /// Why.
    VISIT_WHY: Text, Said = one Visit "why";
    /// Who was there.
    VISIT_WHO: Text, Said = one Visit "who";
    /// Weather.
    VISIT_WEATHER: Text, Said = one Visit "weather";
    /// How the edge was left.
    VISIT_LEFT_SAFE: LeftSafe, Said = one Visit "leftSafe";
    /// A known length read with the day's laser or tape.
    VISIT_LENGTH_CHECK: KnownLength, Said = one Visit "lengthCheck";
    /// A note on the visit.
    VISIT_NOTE: Text, Said = many Visit "note";

    /// Name of the strand.
    STRAND_NAME: Text, Said = one Strand "name";
    /// Its figures.
    STRAND_FIGURES: StrandFigures, Said = one Strand "figures";
    /// A note on the strand.
    STRAND_NOTE: Text, Said = many Strand "note";

    /// Name of the fitting set.
    FITTING_NAME: Text, Said = one FittingSet "name";
    /// Its terminals, left hand and right hand.
    FITTING_TERMINALS: Terminals, Said = one FittingSet "terminals";
    /// Hole through intermediate posts.
    FITTING_THROUGH_HOLE: Length, Said = one FittingSet "throughHole";
    /// Terminal efficiency and safety factor on the breaking load.
    FITTING_EFFICIENCY: Efficiency, Said = one FittingSet "efficiency";
    /// Common-practice deduction, where the set has one.
    FITTING_FIXED_DEDUCTION: Length, Said = one FittingSet "fixedDeduction";
    /// What drives the insert in, like a hex driver of a size.
    FITTING_DRIVER: Text, Said = one FittingSet "driver";
    /// Most tension that the thread of the stud may carry, as its maker states it.
    FITTING_THREAD_LIMIT: Force, Said = one FittingSet "threadLimit";
    /// Least straight pull of an insert, where known.
    FITTING_INSERT_PULL: Force, Said = one FittingSet "insertPull";
    /// A note on the fitting set.
    FITTING_NOTE: Text, Said = many FittingSet "note";

    /// In a crew book: what a maker's sheet tells of a strand, figure by figure.
    STRAND_SHEET: StrandSheet, Said = one Strand "sheet" by "keepStrand";
    /// In a crew book: what a maker's sheet tells of a fitting set, figure by figure.
    FITTING_SHEET: FittingSheet, Said = one FittingSet "sheet" by "keepFittingSet";
    /// In a crew book: a rule set that the crew wrote or changed, whole.
    RULE_SET_COPY: RuleSetCopy, Said = one RuleSet "copy" by "keepRuleSet";

    /// The job exists; in a crew book: it is listed.
    JOB_CREATED: Flag, Said = one Job "created" by "beginJob";
    /// The run exists.
    RUN_CREATED: Flag, Said = one Run "created" by "addThing";
    /// The post exists.
    POST_CREATED: Flag, Said = one Post "created" by "addThing";
    /// The photo exists.
    PHOTO_CREATED: Flag, Said = one Photo "created" by "addPhoto";
    /// The document exists.
    DOCUMENT_CREATED: Flag, Said = one Document "created" by "addDocument";
    /// The defect exists.
    DEFECT_CREATED: Flag, Said = one Defect "created" by "addThing";
    /// The tool exists.
    TOOL_CREATED: Flag, Said = one Tool "created" by "addThing";
    /// The batch exists.
    BATCH_CREATED: Flag, Said = one Batch "created" by "addThing";
    /// The visit exists.
    VISIT_CREATED: Flag, Said = one Visit "created" by "addThing";
    /// The strand exists.
    STRAND_CREATED: Flag, Said = one Strand "created" by "addThing";
    /// The fitting set exists.
    FITTING_SET_CREATED: Flag, Said = one FittingSet "created" by "addThing";
    /// The crew's own rule set exists.
    RULE_SET_CREATED: Flag, Said = one RuleSet "created" by "keepRuleSet";
    /// Name of the crew.
    CREW_NAME: Text, Said = one Crew "name";
}

impl FieldSpec {
    /// What the field is, in the first few words of its description.
    #[must_use]
    pub fn called(&self) -> &'static str {
        let first = self.doc.split([';', '.']).next();
        first.unwrap_or_default().trim()
    }
}

/// The field of this name on this sort of subject.
#[must_use]
pub fn find(subject: SubjectKind, name: &str) -> Option<&'static FieldSpec> {
    ALL.iter().find(|f| f.subject == subject && f.name == name)
}

/// Hash of a claim's value, by which two claims are found to differ.
///
/// # Errors
/// When the value breaks the form of an entry.
pub fn value_hash(value: &Value) -> Result<Hash, crate::error::RecordError> {
    crate::canonical::encode(value).map(|bytes| Hash::of(&bytes))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_kind_stands_once() {
        let kinds: BTreeSet<_> = ALL.iter().map(|f| (f.subject, f.name)).collect();
        assert_eq!(kinds.len(), ALL.len());
    }

    #[test]
    fn what_was_typed_has_room_beside_every_value_but_a_yes_or_no() {
        let yes = serde_json::json!(true);
        // Of the wrong type it is refused wherever there is a place for it.
        let wrong = serde_json::json!({ "entered": 1 });
        let without = ALL.iter().filter(|spec| {
            let refused = (spec.context_fits)(&wrong).err();
            let has = refused.is_some_and(|why| why.contains("expected a string"));
            !has && (spec.value_fits)(&yes).is_err()
        });
        let without: Vec<_> = without.map(|spec| (spec.subject, spec.name)).collect();
        assert_eq!(without, []);
    }

    #[test]
    fn values_are_checked_by_type_and_may_grow() {
        let length = find(SubjectKind::Wire, "length").unwrap();
        assert!((length.value_fits)(&serde_json::json!({"nm": 1})).is_ok());
        assert!((length.value_fits)(&serde_json::json!({"nm": 1, "later": true})).is_ok());
        assert!((length.value_fits)(&serde_json::json!({"mm": 1})).is_err());
        assert!((length.value_fits)(&serde_json::json!(7294)).is_err());
        // By position it is read where it stands in a record, and not said anew.
        let by_position = serde_json::json!([1]);
        assert!((length.value_fits)(&by_position).is_ok());
        assert!((length.value_named)(&by_position).is_err());
        // A newer version may have written it; nobody says it here.
        let later = serde_json::json!({"nm": 1, "later": [1]});
        assert!((length.value_fits)(&later).is_ok());
        let why = (length.value_named)(&later).unwrap_err();
        assert!(why.starts_with("later is not known here"), "{why}");
        let heights = find(SubjectKind::Run, "wireHeights").unwrap();
        assert!((heights.value_named)(&serde_json::json!({"nm": [1, 2]})).is_ok());
        assert!((heights.value_named)(&serde_json::json!([[1, 2]])).is_err());
        assert!(find(SubjectKind::Wire, "colour").is_none());
    }
}
