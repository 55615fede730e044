// Made by `cargo xtask gen` from the list of commands; what is edited here is lost.

/**
 * An act that is ticked off.
 */
export type Act = "cut" | "leftEndPressed" | "threaded" | "rightEndPressed" | "fitted" | "marksMade";

/**
 * Takes a document into the record.
 */
export type AddDocument = {
/**
 * The job.
 */
job: string,
/**
 * The upload that holds its bytes.
 */
upload: string,
/**
 * Number of its bytes.
 */
bytes: number,
/**
 * Its name.
 */
name: string,
/**
 * What it is about.
 */
shows?: Array<ShowsWhat>, };

/**
 * Takes a picture into the record.
 */
export type AddPhoto = {
/**
 * The job.
 */
job: string,
/**
 * The upload that holds its bytes.
 */
upload: string,
/**
 * Number of its bytes.
 */
bytes: number,
/**
 * Name of its file.
 */
name: string,
/**
 * Caption.
 */
caption?: string,
/**
 * What it shows; empty: it goes to the tray.
 */
shows?: Array<ShowsWhat>,
/**
 * Set when the picture was taken now, with the app's camera button.
 */
takenNow?: boolean,
/**
 * Position at the moment of capture, where the device gave one.
 */
position?: Position, };

/**
 * A piece of an upload as base64.
 */
export type AddPiece = {
/**
 * The upload's name, chosen by the caller: 16 to 40 of a–z and 0–9.
 */
upload: string,
/**
 * Where the piece begins, in bytes.
 */
offset: number,
/**
 * The bytes as base64 (RFC 4648, with padding), at most 512 KiB decoded.
 */
base64: string, };

/**
 * Records a sample crimp.
 */
export type AddSampleCrimp = {
/**
 * The job.
 */
job: string,
/**
 * Its figures.
 */
sample: SampleCrimp,
/**
 * Press, die and batch.
 */
with?: CrimpRead, };

/**
 * Adds a thing to a job.
 */
export type AddThing = {
/**
 * The job.
 */
job: string,
/**
 * What sort of thing.
 */
thing: Thing,
/**
 * Its first fields.
 */
fields: Array<FirstField>, };

/**
 * Admits a device to the crew.
 */
export type Admit = {
/**
 * The device.
 */
device: string,
/**
 * The digits that its screen shows.
 */
digits: string,
/**
 * What it is mostly used for.
 */
role: Role, };

/**
 * Whether a length runs level or along the slope.
 */
export type Along = "level" | "slope";

/**
 * What went wrong, in a form that a screen can show and a script can act on.
 *
 * The message says what happened, what was kept and what to do; it holds no client names,
 * addresses or passwords. `retryable` is true when the same request may succeed unchanged.
 */
export type ApiError = {
/**
 * Which kind of failure it is.
 */
code: ErrorCode,
/**
 * What happened, what was kept, what to do.
 */
message: string,
/**
 * Whether the same request may succeed when it is sent again.
 */
retryable: boolean, };

/**
 * Devices that ask to be admitted.
 */
export type Applicants = {
/**
 * One for each device.
 */
devices: Array<Digits>, };

/**
 * A bay.
 */
export type BayView = {
/**
 * The bay as a subject.
 */
subject: string,
/**
 * As a place of readings: `<left post>:<right post>`.
 */
place: string,
/**
 * "A2–A3".
 */
name: string,
/**
 * Clear distance, mm.
 */
clearMm: number | null,
/**
 * Whether it was measured, or follows from positions.
 */
measured: boolean,
/**
 * Level or along the slope.
 */
along: Along,
/**
 * Gap checks, the whole bay's first: lower wire, probe, result, entry.
 */
gaps: Array<GapView>, };

/**
 * Begins a job.
 */
export type BeginJob = {
/**
 * Title.
 */
title: string,
/**
 * Address.
 */
place: string, };

/**
 * Which task to end.
 */
export type CancelTask = {
/**
 * The task's id.
 */
task: string, };

/**
 * Checks crimps of wires at one end.
 */
export type CheckCrimps = {
/**
 * The job.
 */
job: string,
/**
 * The run's id.
 */
run: string,
/**
 * Wires, like `1-12`.
 */
wires: string,
/**
 * The end's post.
 */
post: string,
/**
 * Good or reject.
 */
result: CrimpResult,
/**
 * Why it was rejected.
 */
reason?: string,
/**
 * The day's sample that they refer to.
 */
sample?: string, };

/**
 * Checks the gaps of a bay.
 */
export type CheckGaps = {
/**
 * The job.
 */
job: string,
/**
 * The run's id.
 */
run: string,
/**
 * The bay as a subject.
 */
bay: string,
/**
 * Diameter of the probe.
 */
probe: Typed,
/**
 * Push in newtons where it was measured; empty: by hand.
 */
push?: string,
/**
 * Openings apart from the rest; the rest stops the probe.
 */
exceptions?: Array<GapException>, };

/**
 * Confirms the digits on the joining device.
 */
export type ConfirmJoin = {
/**
 * The digits that the other screen shows.
 */
digits: string, };

/**
 * A crew.
 */
export type CrewView = {
/**
 * Its book.
 */
book: string,
/**
 * Its name.
 */
name: string,
/**
 * Whether new jobs go there.
 */
current: boolean,
/**
 * Whether this device is admitted.
 */
admitted: boolean,
/**
 * The shared folder that it uses, where one is set.
 */
folder?: string,
/**
 * Its devices.
 */
members: Array<MemberView>, };

/**
 * How a crimp was checked.
 */
export type CrimpRead = {
/**
 * The piece of strand.
 */
piece: number,
/**
 * The day's sample that it refers to.
 */
sample?: Hash | null,
/**
 * Press.
 */
press?: ItemId | null,
/**
 * Die.
 */
die?: ItemId | null,
/**
 * Batch of the terminal.
 */
batch?: ItemId | null,
/**
 * Why it was changed or withdrawn.
 */
reason?: string | null, };

/**
 * What a crimp check found.
 */
export type CrimpResult = "good" | "reject";

/**
 * A crimp as checked.
 */
export type CrimpView = {
/**
 * The end's post.
 */
post: string,
/**
 * Good or reject.
 */
result: CrimpResult | null,
/**
 * Piece of strand.
 */
piece: number,
/**
 * Why it was rejected.
 */
reason: string | null,
/**
 * The entry.
 */
entry: string, };

/**
 * A defect.
 */
export type DefectView = {
/**
 * Its subject.
 */
subject: string,
/**
 * What is wrong.
 */
found: string,
/**
 * Who found it.
 */
who: string,
/**
 * When.
 */
atMs: number,
/**
 * What it is about.
 */
about: string | null,
/**
 * Its name.
 */
aboutName: string,
/**
 * How it was put right; none while it is open.
 */
closed: string | null,
/**
 * The entry, to withdraw it.
 */
entry: string, };

/**
 * The digits that two people compare.
 */
export type Digits = {
/**
 * The device that asks.
 */
device: string,
/**
 * First name on it.
 */
name: string,
/**
 * 16 digits in four groups.
 */
digits: string,
/**
 * What the QR picture carries: founding hash and public key, whole.
 */
whole: string, };

/**
 * Which upload to forget.
 */
export type DropUpload = {
/**
 * The upload's name.
 */
upload: string, };

/**
 * One end of a run at a post.
 */
export type End = {
/**
 * Kind.
 */
kind: EndKind,
/**
 * Hand of the thread there.
 */
hand: Hand,
/**
 * Whether the wire is tensioned there.
 */
tensioner: boolean,
/**
 * Whether an angled seat stands under the fitting, as on a rake.
 */
angledSeat: boolean, };

/**
 * Kind of end.
 */
export type EndKind = "insert" | "turnbuckle" | "fixedEnd" | "throughBolt" | "wallPlate" | "eye";

/**
 * Kinds of failure; one exists only where a caller does something different on it.
 */
export type ErrorCode = "unknownCommand" | "invalid" | "questioned" | "notFound" | "disputed" | "locked" | "newer" | "storage" | "cancelled" | "fault" | "internal";

/**
 * What a picture or document shows or proves, in the inspector's order.
 */
export type Evidence = "postFixing" | "railJoint" | "engineersLetter" | "postAdded" | "materials" | "tools" | "sampleCrimp" | "crimps" | "templateCheck" | "engagement" | "gaugeOnWire" | "massCheck" | "opening" | "height" | "handrail" | "wideView" | "endPost" | "below" | "defectBefore" | "defectAfter" | "recheck" | "leftSafe" | "permit" | "clientChoice" | "other";

/**
 * How the exchange stands.
 */
export type ExchangeView = {
/**
 * The shared folder; none where nothing is shared.
 */
folder: string | null,
/**
 * A folder that this device asked to join and has not confirmed.
 */
joining: string | null,
/**
 * What the last exchange told; none before the first.
 */
last: any,
/**
 * When that was, milliseconds since 1970 UTC.
 */
lastMs: number | null,
/**
 * Entries of this device that are not in the folder yet.
 */
unshared: number, };

/**
 * From which faces a length was read.
 */
export type Faces = "postFaces" | "insertFaces";

/**
 * A value, or several that stand apart.
 */
export type FactView = {
/**
 * Field, as in the registry.
 */
field: string,
/**
 * Place within the field; empty for the field itself.
 */
place: string,
/**
 * Names the line within the field.
 */
line: string,
/**
 * Whether repeats of this field are readings of their own.
 */
many: boolean,
/**
 * `agreed`, `withdrawn`, `disputed` or `newer`.
 */
standing: string,
/**
 * Words that stand, oldest first.
 */
words: Array<WordView>,
/**
 * Number of words, replaced ones included.
 */
said: number, };

/**
 * A file that an entry vouches for.
 */
export type FileView = {
/**
 * SHA-256 of the bytes.
 */
sha256: string,
/**
 * Length in bytes.
 */
bytes: number,
/**
 * Role: `original`, `view`, `thumb` or `document`.
 */
role: string, };

/**
 * A first field of a new thing.
 */
export type FirstField = {
/**
 * Field, as in the registry.
 */
field: string,
/**
 * Place within the field.
 */
place?: string,
/**
 * Its value.
 */
value: any, };

/**
 * Founds a crew at the first start.
 */
export type FoundCrew = {
/**
 * Name of the crew.
 */
crew: string,
/**
 * Name of the person at this device.
 */
person: string,
/**
 * What the device is mostly used for.
 */
role: Role, };

/**
 * One opening where the probe did not stop, or was looked at by itself.
 */
export type GapException = {
/**
 * Lower wire of the opening; 0 is floor to wire 1.
 */
aboveWire: number,
/**
 * What the probe did.
 */
result: ProbeResult,
/**
 * Remark.
 */
remark?: string, };

/**
 * A gap check.
 */
export type GapView = {
/**
 * Lower wire of the opening; none for the whole bay.
 */
aboveWire: number | null,
/**
 * Whether the probe stopped; none where people disagree.
 */
stops: boolean | null,
/**
 * Probe in mm.
 */
probeMm: number,
/**
 * When.
 */
atMs: number,
/**
 * The entry.
 */
entry: string, };

/**
 * Hand of a thread.
 */
export type Hand = "LH" | "RH";

/**
 * A SHA-256 hash, printed as 64 lower-case hex digits.
 */
export type Hash = string;

/**
 * How a length was read.
 */
export type Instrument = "tape" | "laser" | "template" | "drawing" | "other";

/**
 * Names a run, post, photo, document, defect, tool, batch, visit, strand or fitting set.
 */
export type ItemId = string;

/**
 * A job in the list.
 */
export type JobCard = {
/**
 * The job.
 */
job: string,
/**
 * Its title.
 */
title: string,
/**
 * Its address.
 */
place: string,
/**
 * Whether its book is kept here.
 */
kept: boolean,
/**
 * Number of values that people dispute or a newer version changed.
 */
disputed: number,
/**
 * Number of defects that are open.
 */
openDefects: number, };

/**
 * A job.
 */
export type JobView = { job: string, subject: string, title: string, place: string, facts: Array<FactView>, runs: Array<RunView>, photos: Array<PictureView>, documents: Array<PictureView>, defects: Array<DefectView>, tools: Array<ThingView>, batches: Array<ThingView>, visits: Array<ThingView>, strands: Array<ThingView>, fittingSets: Array<ThingView>, samples: Array<SampleView>, signOffs: Array<SignOffView>, unsettled: Array<UnsettledView>, };

/**
 * Asks to join the crew of a shared folder.
 */
export type Join = {
/**
 * Path of the folder on this device.
 */
folder: string, };

/**
 * Where a wire stands as a length to cut from.
 */
export type LengthView = { "kind": "notMeasured" } | { "kind": "cuttable",
/**
 * Mean of the readings, mm.
 */
mm: number,
/**
 * Half the range of repeats, mm.
 */
spreadMm: number, } | { "kind": "disputed" } | { "kind": "newer" } | { "kind": "quoteOnly" } | { "kind": "tooEarly",
/**
 * State of the posts then.
 */
posts: PostState, };

/**
 * What lines the hole through an intermediate post.
 */
export type Lining = "bare" | "grommetHalves" | "sleeve";

/**
 * Reads an inside-to-inside length of a wire.
 */
export type Measure = {
/**
 * The job.
 */
job: string,
/**
 * The run's id.
 */
run: string,
/**
 * Number of the wire from the bottom.
 */
wire: number,
/**
 * What was read.
 */
length: Typed,
/**
 * What it is for.
 */
purpose: Purpose,
/**
 * State of the posts.
 */
posts: PostState,
/**
 * From which faces.
 */
faces: Faces,
/**
 * With what.
 */
instrument: Instrument,
/**
 * Entries that it corrects or settles; none for a repeat.
 */
over?: Array<string>,
/**
 * Why it is corrected.
 */
reason?: string,
/**
 * Set when the person was asked about an odd value and said yes.
 */
confirmed?: boolean, };

/**
 * Reads the clear distance of a bay.
 */
export type MeasureBay = {
/**
 * The job.
 */
job: string,
/**
 * The bay as a subject.
 */
bay: string,
/**
 * What was read.
 */
length: Typed,
/**
 * Level or along the slope.
 */
along: Along,
/**
 * With what.
 */
instrument: Instrument,
/**
 * Entries that it corrects or settles.
 */
over?: Array<string>,
/**
 * Set when the person was asked about an odd value and said yes.
 */
confirmed?: boolean, };

/**
 * A device of a crew.
 */
export type MemberView = {
/**
 * The device.
 */
device: string,
/**
 * Names of its persons.
 */
persons: Array<string>,
/**
 * What it is mostly used for.
 */
role: Role,
/**
 * Whether this is the device at hand.
 */
thisDevice: boolean,
/**
 * Whether it founded the crew.
 */
founder: boolean,
/**
 * May admit and end others.
 */
keeper: boolean,
/**
 * Whether it was ended.
 */
ended: boolean,
/**
 * Two branches of it exist: it takes a new identity.
 */
forked: boolean, };

/**
 * How a tension was taken.
 */
export type Method = "gauge" | "hungMass" | "sound" | "hungPhone";

/**
 * The request or answer that says nothing: `{}`.
 */
export type Nothing = Record<symbol, never>;

/**
 * Names a device of the crew.
 */
export type OfDevice = {
/**
 * The device.
 */
device: string, };

/**
 * Names a shared folder.
 */
export type OfFolder = {
/**
 * Path of the folder on this device.
 */
folder: string, };

/**
 * Names a job.
 */
export type OfJob = {
/**
 * The job.
 */
job: string, };

/**
 * Names a subject of a job.
 */
export type OfSubject = {
/**
 * The job.
 */
job: string,
/**
 * The subject.
 */
subject: string,
/**
 * Also give words that were replaced.
 */
history?: boolean, };

/**
 * One value to say.
 */
export type OneClaim = {
/**
 * The subject.
 */
subject: string,
/**
 * Field, as in the registry.
 */
field: string,
/**
 * Place within the field.
 */
place?: string,
/**
 * The value; null withdraws.
 */
value: any,
/**
 * How it came about.
 */
with?: any,
/**
 * For a repeat: entries that it corrects. A single value replaces all that stands.
 */
over?: Array<string>, };

/**
 * The first screen.
 */
export type Overview = {
/**
 * This device.
 */
device: string,
/**
 * The person at it; none before the first start is done.
 */
person?: string,
/**
 * Crews that this device knows.
 */
crews: Array<CrewView>,
/**
 * Jobs of the current crew.
 */
jobs: Array<JobCard>,
/**
 * The program's version.
 */
program: string, };

/**
 * A picture or a document.
 */
export type PictureView = {
/**
 * Its subject.
 */
subject: string,
/**
 * Caption or name.
 */
caption: string,
/**
 * When it was taken, and who says so.
 */
taken?: Taken,
/**
 * Latitude and longitude in degrees.
 */
position?: [number, number],
/**
 * What can't be right in the file's own data.
 */
doubts: Array<string>,
/**
 * What it shows; empty: it lies in the tray.
 */
shows: Array<ShowsView>,
/**
 * Its files.
 */
files: Array<FileView>,
/**
 * Who added it.
 */
by: string,
/**
 * The entry that added it, to withdraw it.
 */
entry: string, };

/**
 * How long an upload is now.
 */
export type PieceAdded = {
/**
 * Bytes taken in so far.
 */
bytes: number, };

/**
 * A position on the earth.
 */
export type Position = {
/**
 * Latitude in 1e-7 degree, north positive.
 */
latE7: number,
/**
 * Longitude in 1e-7 degree, east positive.
 */
lonE7: number,
/**
 * Radius of uncertainty, where told.
 */
accuracyNm?: number | null, };

/**
 * What a post does in a run.
 */
export type PostRole = "anchor" | "intermediate" | "corner";

/**
 * State of the posts when a length was read.
 */
export type PostState = "loose" | "fixed" | "railOn" | "insertsIn";

/**
 * A post in a run.
 */
export type PostView = {
/**
 * The post as a subject.
 */
subject: string,
/**
 * Its id, as it stands in places.
 */
id: string,
/**
 * Its name.
 */
name: string,
/**
 * Middle of the post from the run's first, level, mm.
 */
positionMm: number | null,
/**
 * What it does here.
 */
role: PostRole,
/**
 * The run's end here.
 */
end: End | null,
/**
 * Cross section.
 */
section: Section | null,
/**
 * Floor level, mm.
 */
floorMm: number | null, };

/**
 * Two sizes of a pressed shank, square to one another.
 */
export type PressedSize = {
/**
 * One axis.
 */
firstNm: number,
/**
 * The other.
 */
secondNm: number, };

/**
 * What a probe did.
 */
export type ProbeResult = "stops" | "passes";

/**
 * What a length is for.
 */
export type Purpose = "quote" | "cut";

/**
 * A run's top rail.
 */
export type Rail = {
/**
 * Underside above the floor or the nosings, plumb.
 */
undersideNm: number,
/**
 * Thickness square to the rail.
 */
thicknessNm: number,
/**
 * Stiffness against a pull of the end post, in newtons per metre, where known.
 */
stiffnessNPerM?: number | null,
/**
 * Height at which that stiffness acts.
 */
stiffnessHeightNm?: number | null, };

/**
 * Reads a deflection under a hung mass.
 */
export type ReadDeflection = {
/**
 * The job.
 */
job: string,
/**
 * The run's id.
 */
run: string,
/**
 * Number of the wire.
 */
wire: number,
/**
 * How far the wire went down.
 */
deflection: Typed,
/**
 * The mass as weighed, in grams as typed.
 */
grams: string,
/**
 * Set once for a round.
 */
round: Round, };

/**
 * Records what an end of a wire shows.
 */
export type ReadEnd = {
/**
 * The job.
 */
job: string,
/**
 * The run's id.
 */
run: string,
/**
 * Wires, like `1-12`.
 */
wires: string,
/**
 * The end's post.
 */
post: string,
/**
 * Thread left showing.
 */
threadLeft?: Typed,
/**
 * Turn-in.
 */
turns?: Turns,
/**
 * How far the mark moved, in mm as typed; "0" is a reading.
 */
markMoved?: string,
/**
 * Whether the engagement mark is hidden.
 */
markHidden?: boolean, };

/**
 * Reads a tension.
 */
export type ReadTension = {
/**
 * The job.
 */
job: string,
/**
 * The run's id.
 */
run: string,
/**
 * Number of the wire.
 */
wire: number,
/**
 * Newtons as typed.
 */
newtons: string,
/**
 * What the scale showed, where a chart was used.
 */
raw?: string,
/**
 * Set once for a round.
 */
round: Round,
/**
 * What was found or done about it.
 */
remark?: string,
/**
 * Entries that it corrects.
 */
over?: Array<string>,
/**
 * Set when the person was asked about an odd value and said yes.
 */
confirmed?: boolean, };

/**
 * A tension reading.
 */
export type ReadingView = {
/**
 * The entry, to correct or withdraw it.
 */
entry: string,
/**
 * Place: the bay as `<post>:<post>`.
 */
bay: string,
/**
 * Newtons, where people agree.
 */
newtons: number | null,
/**
 * How far people agree.
 */
standing: string,
/**
 * Pass, final or recheck.
 */
stage: Stage,
/**
 * Number of the pass.
 */
pass: number | null,
/**
 * How it was taken.
 */
method: Method,
/**
 * Who.
 */
who: string,
/**
 * When, milliseconds since 1970 UTC.
 */
atMs: number,
/**
 * Gauge, wire temperature and the rest, as recorded.
 */
with: TensionRead | null, };

/**
 * What a mutation recorded.
 */
export type Recorded = {
/**
 * Entries, in order.
 */
entries: Array<string>,
/**
 * Subject of a thing that was created.
 */
created?: string, };

/**
 * Takes a wire out and puts a new piece in its place.
 */
export type RemakeWire = {
/**
 * The job.
 */
job: string,
/**
 * The run's id.
 */
run: string,
/**
 * Number of the wire.
 */
wire: number,
/**
 * Why.
 */
reason: string, };

/**
 * Removes a thing that was added by mistake.
 */
export type RemoveThing = {
/**
 * The job.
 */
job: string,
/**
 * The subject.
 */
subject: string,
/**
 * Why.
 */
reason: string, };

/**
 * What a device is mostly used for. Roles warn, they never block.
 */
export type Role = "surveyor" | "installer" | "office";

/**
 * What a round sets once: gauge, bay, temperatures, pass.
 */
export type Round = {
/**
 * The bay as a place: `<post>:<post>`.
 */
bay: string,
/**
 * Pass, final or recheck.
 */
stage: Stage,
/**
 * Number of the pass.
 */
pass?: number,
/**
 * The gauge's id.
 */
gauge?: string,
/**
 * Chart that turned the scale into newtons.
 */
chart?: string,
/**
 * Air temperature in degrees Celsius, as typed.
 */
air?: string,
/**
 * Wire temperature in degrees Celsius, as typed.
 */
wireTemperature?: string,
/**
 * Sun or shade on the wire.
 */
sun?: Sun, };

/**
 * A run.
 */
export type RunView = { subject: string, id: string, name: string, surface: Surface | null, shape: Shape, heightMm: number | null, slope: Slope | null, rail: Rail | null, strand: string | null, fittingSet: string | null, lining: Lining, trialWire: number, tensions: Tensions | null, posts: Array<PostView>, bays: Array<BayView>, wires: Array<WireView>, };

/**
 * A trial pressing, pulled.
 */
export type SampleCrimp = {
/**
 * Pull that was held.
 */
pullMn: number,
/**
 * For how long, in seconds.
 */
heldS: number,
/**
 * How far the mark moved.
 */
markMovedNm: number,
/**
 * Good or reject.
 */
result: CrimpResult,
/**
 * Size of the left-hand shank after pressing.
 */
left?: PressedSize | null,
/**
 * Size of the right-hand shank after pressing.
 */
right?: PressedSize | null, };

/**
 * A sample crimp.
 */
export type SampleView = {
/**
 * The entry, to which crimps refer.
 */
entry: string,
/**
 * When.
 */
atMs: number,
/**
 * Who.
 */
who: string,
/**
 * Its figures.
 */
sample: SampleCrimp | null, };

/**
 * Says values in one act.
 */
export type Say = {
/**
 * The job.
 */
job: string,
/**
 * All of them or none is recorded.
 */
claims: Array<OneClaim>, };

/**
 * A post's cross section, as it stands in the run.
 */
export type Section = {
/**
 * Width along the run.
 */
alongNm: number,
/**
 * Depth across the run.
 */
acrossNm: number,
/**
 * Wall thickness of a hollow section; none when solid.
 */
wallNm?: number | null, };

/**
 * Decides the tensions of a run.
 */
export type SetTensions = {
/**
 * The job.
 */
job: string,
/**
 * The run's id.
 */
run: string,
/**
 * Required, set and upper tension, and the passes.
 */
tensions: Tensions, };

/**
 * Settles a dispute by one of the words that stand.
 */
export type Settle = {
/**
 * The job.
 */
job: string,
/**
 * The subject.
 */
subject: string,
/**
 * The field.
 */
field: string,
/**
 * Place within the field.
 */
place?: string,
/**
 * The entry whose value holds from now on.
 */
choose: string,
/**
 * Why.
 */
reason: string, };

/**
 * Level or along a slope.
 */
export type Shape = "level" | "raked";

/**
 * What a picture or document shows.
 */
export type ShowsView = {
/**
 * The subject.
 */
subject: string,
/**
 * Its name, as people say it.
 */
name: string,
/**
 * What it proves there.
 */
evidence: Evidence, };

/**
 * What a picture or document shows.
 */
export type ShowsWhat = {
/**
 * The subject.
 */
subject: string,
/**
 * What it proves there.
 */
evidence: Evidence, };

/**
 * A sign-off.
 */
export type SignOffView = {
/**
 * The stage.
 */
stage: string,
/**
 * The statement.
 */
statement: string,
/**
 * Who.
 */
who: string,
/**
 * When.
 */
atMs: number,
/**
 * Entries recorded since that it does not cover.
 */
since: number,
/**
 * Set when the person's role did not ask for it.
 */
outsideRole: string | null,
/**
 * The entry.
 */
entry: string, };

/**
 * Stage that a person signs off.
 */
export type SignStage = "survey" | "beforeOrdering" | "cutting" | "tension" | "gaps" | "recheck" | "handover";

/**
 * Signs a stage off.
 */
export type SignStageOff = {
/**
 * The job.
 */
job: string,
/**
 * The stage.
 */
stage: SignStage,
/**
 * What the person states.
 */
statement: string, };

/**
 * A slope by its rise and going.
 */
export type Slope = {
/**
 * Rise of one step.
 */
riseNm: number,
/**
 * Going of one step.
 */
goingNm: number,
/**
 * Number of risers, where it is a stair.
 */
risers?: number | null, };

/**
 * Pass or stage of a tension reading.
 */
export type Stage = "pass" | "final" | "recheck";

/**
 * A subject with its facts.
 */
export type SubjectView = {
/**
 * The subject.
 */
subject: string,
/**
 * Its name.
 */
name: string,
/**
 * Whether the layout still has it.
 */
inLayout: boolean,
/**
 * Its facts.
 */
facts: Array<FactView>, };

/**
 * Sun on the wire.
 */
export type Sun = "sun" | "shade";

/**
 * What a run stands on.
 */
export type Surface = "deck" | "balcony" | "landing" | "stair" | "ramp";

/**
 * When and where a picture was taken, as the app recorded it and as the file says.
 */
export type Taken = {
/**
 * Milliseconds since 1970 UTC, where known.
 */
ms?: number | null,
/**
 * Minutes east of UTC, where known.
 */
offsetMin?: number | null,
/**
 * The time is not certain, and why.
 */
uncertain?: string | null,
/**
 * Who says so: `app` or `file`.
 */
witness: string, };

/**
 * Whether a task runs, or how it ended.
 */
export type TaskEnd = "running" | "done" | "failed" | "cancelled";

/**
 * Which task, what the caller knows, and how long to wait for more.
 */
export type TaskRequest = {
/**
 * The task's id.
 */
task: string,
/**
 * The version last seen; the answer waits for a newer one.
 */
seen?: number,
/**
 * How long to wait, in milliseconds; 25 000 at most, 0 when it is absent.
 */
waitMs?: number, };

/**
 * The answer of a `start…` command.
 */
export type TaskStarted = {
/**
 * The task's id, for `task` and `cancelTask`.
 */
task: string, };

/**
 * How far a task has come.
 */
export type TaskState = {
/**
 * The task's id.
 */
task: string,
/**
 * What kind of work it is.
 */
kind: string,
/**
 * Grows with every change.
 */
version: number,
/**
 * Steps done.
 */
done: number,
/**
 * Steps in all; 0 while unknown.
 */
total: number,
/**
 * What is being done, in words.
 */
what: string,
/**
 * Running, or how it ended.
 */
state: TaskEnd,
/**
 * What it made, when it is done.
 */
result: unknown,
/**
 * Why it failed.
 */
error: ApiError | null, };

/**
 * How a tension was read. Gauge, bay and temperatures are set once for a round.
 */
export type TensionRead = {
/**
 * As it was typed, with its unit.
 */
entered?: string | null,
/**
 * How.
 */
method: Method,
/**
 * Pass, final or recheck.
 */
stage: Stage,
/**
 * Number of the pass.
 */
pass?: number | null,
/**
 * The piece of strand that was read.
 */
piece: number,
/**
 * The gauge.
 */
gauge?: ItemId | null,
/**
 * What the scale showed, as written down.
 */
raw?: string | null,
/**
 * Chart that turned the scale into newtons.
 */
chart?: string | null,
/**
 * Which repeat of the reading.
 */
repeat?: number | null,
/**
 * Air temperature in hundredths of a degree Celsius.
 */
airCdeg?: number | null,
/**
 * Wire temperature in hundredths of a degree Celsius.
 */
wireCdeg?: number | null,
/**
 * Sun or shade on the wire.
 */
sun?: Sun | null,
/**
 * Why it was changed or withdrawn, or what was found.
 */
reason?: string | null, };

/**
 * The three tensions of a run. The lowest part that makes the upper one is named.
 */
export type Tensions = {
/**
 * What the rule or designer asks, the highest of the run's bays.
 */
requiredMn: number,
/**
 * What to tension to.
 */
setMn: number,
/**
 * What nothing may exceed.
 */
upperMn: number,
/**
 * Where the required tension is from.
 */
requiredOrigin: string,
/**
 * Where the upper tension is from.
 */
upperOrigin: string,
/**
 * The passes on the way to the set tension, last one included.
 */
passesMn: Array<number>, };

/**
 * The sorts of things that can be added by fields alone.
 */
export type Thing = "run" | "post" | "defect" | "tool" | "batch" | "visit" | "strand" | "fittingSet";

/**
 * A tool, batch, visit, strand or fitting set, with its facts.
 */
export type ThingView = {
/**
 * Its subject.
 */
subject: string,
/**
 * Its id, as it stands in values.
 */
id: string,
/**
 * Its name.
 */
name: string,
/**
 * For a tool: its kind.
 */
tool: ToolKind | null,
/**
 * For a tool: error as a part in 10 000.
 */
errorPer10000: number | null,
/**
 * All its facts.
 */
facts: Array<FactView>, };

/**
 * Ticks an act off for wires of a run.
 */
export type TickWires = {
/**
 * The job.
 */
job: string,
/**
 * The run's id.
 */
run: string,
/**
 * Wires, like `1-12`.
 */
wires: string,
/**
 * The act.
 */
act: Act,
/**
 * False takes the tick back.
 */
done: boolean,
/**
 * For cutting: the batch that the strand came from.
 */
batch?: string, };

/**
 * Ties a picture or document to what it shows, or unties it.
 */
export type TiePicture = {
/**
 * The job.
 */
job: string,
/**
 * The picture's or document's subject.
 */
picture: string,
/**
 * What it shows.
 */
shows: ShowsWhat,
/**
 * False unties.
 */
tied: boolean, };

/**
 * Kind of tool.
 */
export type ToolKind = "tensionGauge" | "press" | "die" | "swageGauge" | "probe" | "mass" | "tape" | "laser" | "thermometer" | "other";

/**
 * Thread left showing at an end after fitting, or turn-in.
 */
export type Turns = {
/**
 * Whole turns.
 */
turns: number,
/**
 * Sixths of a turn beyond.
 */
flats: number, };

/**
 * A length as it was typed.
 */
export type Typed = {
/**
 * The text.
 */
text: string,
/**
 * Its unit.
 */
unit?: Unit, };

/**
 * Unit in which a length is typed.
 */
export type Unit = "mm" | "in";

/**
 * A value that people must settle.
 */
export type UnsettledView = {
/**
 * The subject.
 */
subject: string,
/**
 * Its name.
 */
name: string,
/**
 * The facts, several words each.
 */
fact: FactView, };

/**
 * Says why a piece of evidence stays away.
 */
export type WaiveEvidence = {
/**
 * The job.
 */
job: string,
/**
 * What stays away.
 */
evidence: Evidence,
/**
 * Why; empty asks for it again.
 */
reason: string, };

/**
 * A wire.
 */
export type WireView = {
/**
 * The wire as a subject.
 */
subject: string,
/**
 * Number from the bottom.
 */
number: number,
/**
 * Height above floor or nosings, mm.
 */
heightMm: number | null,
/**
 * Its length for cutting.
 */
length: LengthView,
/**
 * Last length that anybody read, for any purpose, mm.
 */
lastReadMm: number | null,
/**
 * Piece of strand in place, from 1.
 */
piece: number,
/**
 * Length released for cutting, mm.
 */
issuedMm: number | null,
/**
 * Length as cut, mm.
 */
cutMm: number | null,
/**
 * Acts ticked off on this piece.
 */
done: Array<Act>,
/**
 * Crimps of all pieces.
 */
crimps: Array<CrimpView>,
/**
 * Tensions of this piece, newest first.
 */
tensions: Array<ReadingView>,
/**
 * Something about it is disputed or changed by a newer version.
 */
unsettled: boolean, };

/**
 * Takes back what an entry said.
 */
export type Withdraw = {
/**
 * The job.
 */
job: string,
/**
 * The entry.
 */
entry: string,
/**
 * Why.
 */
reason: string, };

/**
 * What one person said.
 */
export type WordView = {
/**
 * The entry, to name in a correction.
 */
entry: string,
/**
 * The value; null when it was withdrawn.
 */
value: any,
/**
 * How it came about; null when nothing was said.
 */
with: any,
/**
 * Who, by name.
 */
who: string,
/**
 * On which device, by its first person's name.
 */
device: string,
/**
 * When, milliseconds since 1970 UTC.
 */
atMs: number,
/**
 * Minutes east of UTC there and then.
 */
offsetMin: number,
/**
 * The device's clock could not be trusted.
 */
timeSuspect: boolean,
/**
 * Whether it still stands, or a later word replaced it.
 */
stands: boolean, };

/** Every command: what it takes and what it gives. */
export interface Commands {
	/** Tells who uses this device, which crews it knows, and the current crew's jobs. */
	overview: { request: Nothing; answer: Overview };
	/** Founds a crew with this device as its founder; the first start needs it once. */
	foundCrew: { request: FoundCrew; answer: Overview };
	/** Begins a job in the current crew. */
	beginJob: { request: BeginJob; answer: Recorded };
	/** Reads a job: layout, readings, pictures, and what is unsettled. */
	readJob: { request: OfJob; answer: JobView };
	/** Reads all that is said of a subject; with `history` also the words that were replaced. */
	readSubject: { request: OfSubject; answer: SubjectView };
	/** Adds a run, post, defect, tool, batch, visit, strand or fitting set with its first fields. */
	addThing: { request: AddThing; answer: Recorded };
	/** Withdraws the creation of a thing, with a reason; all that was said of it is kept. */
	removeThing: { request: RemoveThing; answer: Recorded };
	/** Says values of plain fields, all in one act; a single value replaces all that stands. */
	say: { request: Say; answer: Recorded };
	/** Records an inside-to-inside length of a wire; an odd one is questioned once. */
	measure: { request: Measure; answer: Recorded };
	/** Records the clear distance between two posts, face to face. */
	measureBay: { request: MeasureBay; answer: Recorded };
	/** Settles a dispute: the chosen word's value holds, over all that stood. */
	settle: { request: Settle; answer: Recorded };
	/** Takes back all that an entry said; the words stay readable. */
	withdraw: { request: Withdraw; answer: Recorded };
	/** Decides required, set and upper tension of a run. */
	setTensions: { request: SetTensions; answer: Recorded };
	/** Ticks an act off for wires, in any order; cutting needs a release of each wire. */
	tickWires: { request: TickWires; answer: Recorded };
	/** Records a sample crimp that was pulled. */
	addSampleCrimp: { request: AddSampleCrimp; answer: Recorded };
	/** Records crimps as checked; a reject says why. */
	checkCrimps: { request: CheckCrimps; answer: Recorded };
	/** Records thread left, turns and marks of wires at one end. */
	readEnd: { request: ReadEnd; answer: Recorded };
	/** Records that a wire is made anew; cutting, crimps and readings begin again. */
	remakeWire: { request: RemakeWire; answer: Recorded };
	/** Records a tension taken with a gauge; one above the upper tension is questioned. */
	readTension: { request: ReadTension; answer: Recorded };
	/** Records the deflection of a wire under a hung mass at mid span. */
	readDeflection: { request: ReadDeflection; answer: Recorded };
	/** Records a gap check of a bay: all openings stop the probe, but for the exceptions. */
	checkGaps: { request: CheckGaps; answer: Recorded };
	/** Takes a picture into the record: original, view and thumb, with time, place and what it shows. */
	addPhoto: { request: AddPhoto; answer: Recorded };
	/** Takes any file into the record as a document. */
	addDocument: { request: AddDocument; answer: Recorded };
	/** Ties a picture or document to what it shows, or unties it. */
	tiePicture: { request: TiePicture; answer: Recorded };
	/** Records a person's statement on a stage, with the heads that it covers. */
	signOff: { request: SignStageOff; answer: Recorded };
	/** Says why a piece of evidence stays away; documents print the reason. */
	waiveEvidence: { request: WaiveEvidence; answer: Recorded };
	/** Makes a folder the shared folder of the current crew. */
	share: { request: OfFolder; answer: Overview };
	/** Asks to join the crew of a folder and shows the digits to compare. */
	join: { request: Join; answer: Digits };
	/** Confirms on the joining device that both screens show the same digits. */
	confirmJoin: { request: ConfirmJoin; answer: Overview };
	/** Lists devices in the shared folder that ask to be admitted, with the digits to compare. */
	applicants: { request: Nothing; answer: Applicants };
	/** Admits a device whose digits were compared. */
	admit: { request: Admit; answer: Overview };
	/** Ends a device: what it recorded so far still counts, nothing after it. */
	endDevice: { request: OfDevice; answer: Overview };
	/** Keeps a listed job on this device from the next exchange on. */
	keepJob: { request: OfJob; answer: Nothing };
	/** Tells how the exchange stands, without looking at the folder. */
	readExchange: { request: Nothing; answer: ExchangeView };
	/** Starts an exchange with the shared folder. */
	startSync: { request: Nothing; answer: TaskStarted };
	/** Waits for progress of long work and gives its state; with `seen` it waits until there is something newer or the time is over. */
	task: { request: TaskRequest; answer: TaskState };
	/** Asks long work to end; it stops at its next safe point and keeps what is whole. */
	cancelTask: { request: CancelTask; answer: TaskState };
	/** Takes in a piece of a picture or document as base64, where raw bytes can't be sent. */
	addPiece: { request: AddPiece; answer: PieceAdded };
	/** Forgets the pieces of an upload that will not be finished. */
	dropUpload: { request: DropUpload; answer: Nothing };
}

/** The name of a command. */
export type CommandName = keyof Commands;
