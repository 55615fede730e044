// Made by `cargo xtask gen` from the list of commands; what is edited here is lost.

/**
 * An act that is ticked off.
 */
export type Act = "cut" | "insertionMarked" | "leftEndPressed" | "threaded" | "rightEndPressed" | "fitted" | "witnessMarked" | "marksMade";

/**
 * Takes a document into the record.
 */
export type AddDocument = {
/**
 * The job.
 */
job: string,
/**
 * Where its bytes are.
 */
source: FileSource,
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
 * Where its bytes are.
 */
source: FileSource,
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
position?: Position,
/**
 * Set when the person was asked about a picture that can't be shown and is to be evidence, and
 * said yes.
 */
confirmed?: boolean, };

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
 * The bytes as base64 (RFC 4648, with padding), at most 256 KiB decoded.
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
with?: CrimpRead,
/**
 * Set when the person was asked about an odd value and said yes.
 */
confirmed?: boolean, };

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
fields: Array<FirstField>,
/**
 * Set when the person was asked about an odd value and said yes.
 */
confirmed?: boolean, };

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
role: Role,
/**
 * Set when the device says by another name to be a person of the crew, and somebody who was
 * asked says that it is: it is admitted under the name that the crew knows.
 */
asKnown?: boolean, };

/**
 * What a take-off adds to the count.
 */
export type Allowances = {
/**
 * Terminals, each hand.
 */
terminals: Spare,
/**
 * Inserts, each hand.
 */
inserts: Spare,
/**
 * Lock nuts, each hand.
 */
lockNuts: Spare,
/**
 * Angled seats.
 */
angledSeats: Spare,
/**
 * Grommet halves or sleeves.
 */
linings: Spare,
/**
 * Strand for samples.
 */
sampleStrandNm: number,
/**
 * Strand for remakes.
 */
scrapStrandNm: number, };

/**
 * Whether a length runs level or along the slope.
 */
export type Along = "level" | "slope";

/**
 * Which part of a text stands at its place.
 */
export type Anchor = "start" | "middle" | "end";

/**
 * Whether one more trial wire is worth its cost.
 */
export type AnotherTrial = {
/**
 * The wire: one that was released or cut meanwhile and not read, else the first that is left.
 */
wire: number,
/**
 * "A7".
 */
name: string,
/**
 * How far it has come.
 */
stage: TrialStage,
/**
 * Whether it is advised.
 */
worth: boolean,
/**
 * Whether, and what is to be done, in one or two sentences.
 */
sentence: string,
/**
 * What it rests on: the spread now and then, and the narrowest window, in one sentence.
 */
why: string,
/**
 * Wires expected to miss their window when cut now.
 */
missesNow: number,
/**
 * The same after one more trial wire.
 */
missesThen: number,
/**
 * Widest spread now.
 */
spreadNowMm: number,
/**
 * Widest spread then.
 */
spreadThenMm: number,
/**
 * Narrowest half window.
 */
narrowestHalfMm: number, };

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
 * One for each device, the next 32.
 */
devices: Array<Digits>,
/**
 * How many more come after those.
 */
more: number, };

/**
 * Something that can't be used, with its reason.
 */
export type Aside = {
/**
 * Where it is in the folder.
 */
path: string,
/**
 * Why it does not count.
 */
reason: string, };

/**
 * Asks which devices ask to be admitted.
 */
export type AskApplicants = {
/**
 * The last device that was listed before; none for the first ones.
 */
after?: string, };

/**
 * Asks for the next useful act.
 */
export type AskNext = {
/**
 * The job.
 */
job: string,
/**
 * Keys of acts that were skipped.
 */
skipped?: Array<string>, };

/**
 * Asks what a sphere does in the openings of a run.
 */
export type AskPush = {
/**
 * The job.
 */
job: string,
/**
 * The run's id.
 */
run: string,
/**
 * Diameter of the sphere; else the rule set's, else the job's probe.
 */
sphere?: Typed,
/**
 * Push in newtons, as typed; else a hand's.
 */
push?: string, };

/**
 * How a wire stands against the band that is expected of it.
 */
export type BandState = "notRead" | "otherBay" | "within" | "below" | "above";

/**
 * A bay at the spacing of a proposal.
 */
export type BayAtSpacing = {
/**
 * Its name.
 */
name: string,
/**
 * Clear, along the wire.
 */
clearMm: number,
/**
 * What the table says.
 */
outcome: RowOutcome,
/**
 * Least tension.
 */
leastTensionN: number | null,
/**
 * In hand before the next longer column.
 */
inHandMm: number | null,
/**
 * Over the next shorter column.
 */
overMm: number | null,
/**
 * What being over costs, newtons.
 */
costsN: number | null,
/**
 * One sentence.
 */
sentence: string, };

/**
 * Gap checks of a bay.
 */
export type BayGaps = "none" | "allStop" | "again" | "fails" | "disputed";

/**
 * A bay's progress.
 */
export type BayProgress = {
/**
 * The bay.
 */
subject: Subject,
/**
 * Its name.
 */
name: string,
/**
 * Whether its clear distance was measured.
 */
measured: boolean,
/**
 * Gap checks.
 */
gaps: BayGaps,
/**
 * Lower wires of openings where the probe passes.
 */
passesAbove: Array<number>,
/**
 * Why the probe is to be offered again, in one sentence.
 */
gapsWhy: string | null, };

/**
 * One bay under the push.
 */
export type BayPushed = {
/**
 * The bay.
 */
subject: Subject,
/**
 * Its name.
 */
name: string,
/**
 * Clear distance along the wire.
 */
clearMm: number | null,
/**
 * Whether that was measured or follows from positions.
 */
clearOrigin: Origin,
/**
 * Its openings from the bottom.
 */
openings: Array<UnderPush>,
/**
 * Lower wire of the opening that holds the sphere least.
 */
weakest: number | null, };

/**
 * What the wire tables ask of one bay.
 */
export type BayRow = {
/**
 * The bay; the first of them where the table counts several as one.
 */
subject: Subject,
/**
 * The bays as built that the table counts as this one: several where a spreader between them
 * does not count as a post.
 */
bays: Array<Subject>,
/**
 * Its name, by the posts that end it.
 */
name: string,
/**
 * Clear distance along the wire, as the table counts it.
 */
clearMm: number,
/**
 * Whether the clear distance was measured or follows from positions.
 */
clearOrigin: Origin,
/**
 * Widest spacing square to the wires, as the table counts it.
 */
spacingMm: number,
/**
 * Whether that spacing was measured at a post or is planned.
 */
spacingOrigin: Origin,
/**
 * What the tension table says.
 */
outcome: RowOutcome,
/**
 * Least tension.
 */
leastTensionN: number | null,
/**
 * Post distance of the column that was read.
 */
rowClearMm: number | null,
/**
 * Spacing of the row that was read.
 */
rowSpacingMm: number | null,
/**
 * Diameter of the row that was read.
 */
rowDiameterMm: number | null,
/**
 * The next longer post distance and what is in hand before it.
 */
longer: NextRow | null,
/**
 * The next shorter post distance and what is over it.
 */
shorter: NextRow | null,
/**
 * The next wider spacing and what is in hand before it.
 */
wider: NextRow | null,
/**
 * Largest deflection under the document's mass: the other way to show the same.
 */
mostDeflectionMm: number | null,
/**
 * That mass.
 */
deflectionMassKg: number | null,
/**
 * Post distance of the column of the deflection table that was read: it has other columns.
 */
deflectionClearMm: number | null,
/**
 * Spacing of that row.
 */
deflectionSpacingMm: number | null,
/**
 * The next longer post distance of the deflection table and what is in hand before it.
 */
deflectionLonger: NextDeflection | null,
/**
 * The next wider spacing of the deflection table and what is in hand before it.
 */
deflectionWider: NextDeflection | null,
/**
 * What differs between copies of the document, where the cell is doubtful.
 */
doubt: string | null,
/**
 * Where the tension's figures are from; where there is none, the deflection's.
 */
source: Source | null,
/**
 * Where the deflection's figures are from.
 */
deflectionSource: Source | null, };

/**
 * A bay.
 */
export type BayView = {
/**
 * The bay as a subject.
 */
subject: string,
/**
 * As a place of readings: its two posts' ids as in the subject, `<post>:<post>`.
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
 * Everything to look at before ordering for a run.
 */
export type BeforeOrdering = {
/**
 * The run.
 */
run: ItemId,
/**
 * Its name.
 */
runName: string,
/**
 * The rule set; none where none is chosen.
 */
ruleSet: RuleSetNote | null,
/**
 * Findings in the order of the rule set.
 */
findings: Array<Finding>,
/**
 * What the rule set says besides.
 */
ruleWords: Array<RuleWords>,
/**
 * What the wire tables ask, bay by bay.
 */
bays: Array<BayRow>,
/**
 * Required, set and upper tension.
 */
tension: TensionPlan,
/**
 * What the wires ask of the end posts.
 */
posts: Array<PostAsked>,
/**
 * What does not fit.
 */
problems: Array<Problem>,
/**
 * What was assumed or left out, in sentences.
 */
notes: Array<string>, };

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
 * A post at which the wires of a run turn.
 */
export type Bend = {
/**
 * The post.
 */
post: ItemId,
/**
 * Its name.
 */
name: string,
/**
 * By how much the wires turn at least, degrees.
 */
turnFromDeg: number,
/**
 * By how much at most: the same where the angle is told, else all that can be.
 */
turnToDeg: number,
/**
 * Told, or assumed.
 */
turnOrigin: Origin,
/**
 * Least friction.
 */
frictionFrom: number,
/**
 * Most friction.
 */
frictionTo: number,
/**
 * Where the friction is from, in words.
 */
frictionOrigin: string, };

/**
 * A book's state hash.
 */
export type BookHash = {
/**
 * The book.
 */
book: string,
/**
 * Its state's hash.
 */
hash: string, };

/**
 * Names a book; a job's book and the job share one id.
 */
export type BookId = string;

/**
 * Demand on a post by one reading of its base and stiffness.
 */
export type ByBase = {
/**
 * The reading, in words: "base not turning".
 */
name: string,
/**
 * Moment at the base, newton metres.
 */
baseMomentNm: number,
/**
 * Largest bending stress at the base, megapascals; none as beside it.
 */
baseStressMpa: number | null,
/**
 * Movement at the height looked at.
 */
tipMm: number,
/**
 * Force on the rail of this run and its joint.
 */
railForceN: number | null,
/**
 * Pull on the base fixings, where the bolts' distance is known.
 */
fixingForceN: number | null, };

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
sample?: string,
/**
 * The press; without it the sample's.
 */
press?: string,
/**
 * The die; without it the sample's.
 */
die?: string,
/**
 * Batch of the terminals.
 */
batch?: string,
/**
 * Set when the person was asked about wires that are not cut and said yes.
 */
confirmed?: boolean, };

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
 * Which of the job's tools the probe is, where it is one.
 */
tool?: string,
/**
 * Push in newtons where it was measured; empty: by hand.
 */
push?: string,
/**
 * Openings apart from the rest; the rest stops the probe. Where some are named, an opening that
 * passed before and is not among them stays as it was: nobody says that it was offered again.
 */
exceptions?: Array<GapException>,
/**
 * Set when the person was asked about an odd probe and said yes.
 */
confirmed?: boolean, };

/**
 * What is said of the holes of two runs that come close in one post.
 */
export type CloseAt = {
/**
 * The post.
 */
post: ItemId,
/**
 * How many pairs come close and the way that clears them all, as it stands among the notes.
 */
sentence: string, };

/**
 * When to come back, milliseconds since 1970 UTC.
 */
export type ComeBack = {
/**
 * One week after the readings at the set tension; once all were looked at again, two weeks short of
 * a year after that.
 */
fromMs: number,
/**
 * Two weeks after; a year after.
 */
toMs: number, };

/**
 * What a wire showed in one bay when it was left and now.
 */
export type Compared = {
/**
 * When it was left: at the end of the visit before, else at the set tension.
 */
left: Reading,
/**
 * At the set tension, where that bay was read then.
 */
atSet: Reading | null,
/**
 * Now.
 */
now: Reading,
/**
 * What it showed first in that very visit, where that was less than it shows now: it was brought up
 * since.
 */
found: Reading | null, };

/**
 * Confirms the digits on the joining device.
 */
export type ConfirmJoin = {
/**
 * The digits that the other screen shows.
 */
digits: string, };

/**
 * What friction leaves of a run's tension behind its corners.
 */
export type Corners = {
/**
 * The run.
 */
run: ItemId,
/**
 * Its name.
 */
runName: string,
/**
 * Posts at which it turns, from its first; empty for a straight run, which lacks nothing.
 */
bends: Array<Bend>,
/**
 * What the tensioned ends are taken to show.
 */
tensionN: number | null,
/**
 * Where that is from, in words.
 */
tensionOrigin: string,
/**
 * What every bay has to show at least.
 */
requiredN: number | null,
/**
 * Names of the posts at which the run is tensioned.
 */
tensionedAt: Array<string>,
/**
 * Straight legs from the first post; empty where something is missing. Behind a corner whose angle
 * is not told the least is that of the widest turn.
 */
legs: Array<LegBehind>,
/**
 * The same with a right angle at every corner whose angle is not told; empty where all are.
 */
atRightAngle: Array<LegBehind>,
/**
 * At which end to tension, in a sentence or two.
 */
side: string | null,
/**
 * What is missing, assumed or left out.
 */
notes: Array<string>, };

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
members: Array<MemberView>,
/**
 * Why its book can't be read here, in words; the other crews are not touched by it.
 */
trouble?: string, };

/**
 * How a crimp was checked.
 */
export type CrimpRead = {
/**
 * Figures of a sample as they were typed, with their units.
 */
entered?: string | null,
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
 * Ticks wires off as cut, each with what it came from.
 */
export type CutBatch = {
/**
 * The job.
 */
job: string,
/**
 * The cuts in the order in which they were made.
 */
cuts: Array<CutOne>,
/**
 * Set when the person was asked about a changed length or a short reel and said yes.
 */
confirmed?: boolean, };

/**
 * Cuts in a row from one reel or offcut: what is ticked off together.
 */
export type CutGroup = {
/**
 * The reel or offcut; none where it has still to be ordered.
 */
stock: string | null,
/**
 * Its name.
 */
name: string,
/**
 * Reel or offcut.
 */
kind: StockKind,
/**
 * Whether these are trial wires, cut before all others.
 */
trial: boolean,
/**
 * The cuts in order.
 */
cuts: Array<PlannedCut>,
/**
 * What is left after them.
 */
leftMm: number, };

/**
 * A cut that is left, before and after learning.
 */
export type CutLeft = {
/**
 * Number of the wire.
 */
wire: number,
/**
 * "A6".
 */
name: string,
/**
 * Whether it is released already.
 */
issued: boolean,
/**
 * By the computed deduction; its spread counts what the fittings' figures may be off.
 */
computed: LearnedCut,
/**
 * By the learned one; none before a trial wire was read.
 */
learned: LearnedCut | null, };

/**
 * One wire of a cut sheet.
 */
export type CutLine = {
/**
 * Number from the bottom.
 */
wire: number,
/**
 * The wire.
 */
subject: Subject,
/**
 * "A6".
 */
name: string,
/**
 * Whether it is the one that is fitted first.
 */
trial: boolean,
/**
 * Piece of strand that this is for.
 */
piece: number,
/**
 * Inside to inside, along the wire.
 */
insideMm: number | null,
/**
 * Measured or interpolated.
 */
insideOrigin: Origin | null,
/**
 * Wires whose readings an interpolated one rests on.
 */
interpolatedFrom: Array<number>,
/**
 * Standard deviation of inside to inside.
 */
insideSpreadMm: number | null,
/**
 * Inward movement of both posts.
 */
inwardMm: number | null,
/**
 * Origin of that movement.
 */
inwardOrigin: Origin | null,
/**
 * Shortest cut that still works.
 */
shortestMm: number | null,
/**
 * What sets the shortest, in words.
 */
shortestBy: string | null,
/**
 * Longest cut that still works.
 */
longestMm: number | null,
/**
 * Between the two.
 */
widthMm: number | null,
/**
 * What to cut, on the tape's millimetre.
 */
aimMm: number | null,
/**
 * Inside to inside less the aim.
 */
deductionMm: number | null,
/**
 * Stretch that the aim gives back.
 */
stretchMm: number | null,
/**
 * Chance that the cut ends inside its window before any wire was fitted, with the whole spread
 * below, the careful reading of the stiffness.
 */
chance: number | null,
/**
 * The same in words, never above ">99 %".
 */
chanceWords: string | null,
/**
 * One standard deviation of the finished engagement before any wire was fitted: what the
 * fittings' own figures may be off counts in it.
 */
spreadMm: number | null,
/**
 * The same wire by the deduction that the trial wires taught; none before one was read.
 */
learned: LearnedCut | null,
/**
 * The fixed deduction beside it.
 */
fixed: FixedRule | null,
/**
 * Why it can't be cut.
 */
refused: Refusal | null,
/**
 * Claims that this line rests on.
 */
basis: Array<Hash>,
/**
 * The figures with units and origins, as a decision keeps them.
 */
numbers: Array<Number>,
/**
 * Released already.
 */
issued: Issued | null,
/**
 * Cut already, at this length.
 */
cutDoneMm: number | null,
/**
 * What was cut or released lies outside the window as its length, the set tension, the figures and a
 * trial wire have it now: one sentence.
 */
outside: string | null, };

/**
 * One cut as a person saw it.
 */
export type CutOne = {
/**
 * The wire's run.
 */
run: string,
/**
 * Number of the wire.
 */
wire: number,
/**
 * Number of the piece.
 */
piece: number,
/**
 * Length as it was told.
 */
cutMm: number,
/**
 * The reel or offcut, as the plan names it: `batch:…` or `wire:…`.
 */
stock: string, };

/**
 * The cut plan of a job.
 */
export type CutPlan = {
/**
 * How strand is cut.
 */
rules: CuttingRules,
/**
 * A plan for each strand.
 */
strands: Array<StrandPlan>,
/**
 * Wires that are not planned, with the reason.
 */
notReady: Array<NotReady>,
/**
 * Reels and offcuts as they stand.
 */
stock: Array<StockItem>,
/**
 * Pieces that were taken out again.
 */
takenOut: Array<PieceOut>,
/**
 * What was assumed, and what can't be right.
 */
notes: Array<string>, };

/**
 * The cut sheet of a run.
 */
export type CutSheet = {
/**
 * The run.
 */
run: ItemId,
/**
 * Its name.
 */
runName: string,
/**
 * The wire that is fitted first.
 */
trialWire: number,
/**
 * Whether that wire is cut.
 */
trialCut: boolean,
/**
 * What the fitted wires taught; none before one was read.
 */
taught: Taught | null,
/**
 * Why a wire that was read teaches nothing till people agree, or till it is read again, with what to do; stands
 * among the notes too.
 */
undecided: string | null,
/**
 * What pieces that were taken out and teach nothing showed against the computed cuts: asked before a wire is
 * released. Stands among the notes too.
 */
showed: Array<string>,
/**
 * Set tension that the sheet is for.
 */
tensionN: number | null,
/**
 * Bow of the posts, where three readings give it.
 */
bowMm: number | null,
/**
 * Trial wire first, then from the bottom.
 */
lines: Array<CutLine>,
/**
 * Sums.
 */
totals: CutTotals,
/**
 * Hash of the rule set in force, as a decision keeps it.
 */
ruleSet: Hash | null,
/**
 * What was assumed or left out.
 */
notes: Array<string>,
/**
 * Inputs that all wires share, with origins.
 */
inputs: Array<Number>, };

/**
 * Sums of a cut sheet.
 */
export type CutTotals = {
/**
 * Wires of the run.
 */
wires: number,
/**
 * Wires that can be cut.
 */
cuttable: number,
/**
 * Wires that are refused.
 */
refused: number,
/**
 * Wires released.
 */
issued: number,
/**
 * Wires cut.
 */
cut: number,
/**
 * Sum of the aims of the wires that can be cut.
 */
aimsMm: number, };

/**
 * What the strand's length rests on.
 */
export type CutsFrom = "cutSheet" | "quoteLength" | "bays";

/**
 * How strand is cut on this job.
 */
export type CuttingRules = {
/**
 * Width lost at each cut; none with shears.
 */
kerfNm: number,
/**
 * Taken off a fresh end before the first cut, that cut's kerf included.
 */
endTrimNm: number,
/**
 * A leftover shorter than this is scrap.
 */
leastUsableNm: number,
/**
 * Length of a reel that could be ordered, where stock does not reach.
 */
newReelNm?: number,
/**
 * Cut in the order of the wires, not with the least stock.
 */
asListed?: boolean, };

/**
 * What was found in order, and what is here without counting.
 */
export type DataLookedOver = {
/**
 * Files of the journal.
 */
journalFiles: number,
/**
 * Entries in them.
 */
entries: number,
/**
 * Crews whose books are here.
 */
crews: number,
/**
 * Jobs whose books are here.
 */
jobs: number,
/**
 * Entries whose own signature was checked and is right; the others are proven by a later one.
 */
signatures: number,
/**
 * Entries that do not count, with the reason.
 */
notCounting: Array<NotCounting>,
/**
 * How the index stands.
 */
index: IndexStands,
/**
 * What others saw of devices of the crew and is not here, or is another here.
 */
notHere: Array<NotHere>,
/**
 * Pictures and documents whose bytes were checked.
 */
objects: number,
/**
 * Their bytes.
 */
objectBytes: number,
/**
 * Objects that entries of others vouch for and that have not arrived.
 */
awaited: number,
/**
 * Files among the objects that are none of ours, or were set aside as damaged.
 */
strange: number,
/**
 * Notes on what was set aside.
 */
aside: number,
/**
 * Lines of the journal that are no entries any more, where all that was in them is here in
 * other lines: damage that was mended.
 */
mended: number, };

/**
 * By which deduction a wire is cut once a trial wire was fitted: a person's choice.
 */
export type DeductionBy = "computed" | "learned";

/**
 * A deduction as a line over the length: offset and growth per metre, with spreads.
 */
export type DeductionLine = {
/**
 * At no length.
 */
offsetMm: number,
/**
 * One standard deviation of it.
 */
offsetSpreadMm: number,
/**
 * Growth with each metre.
 */
perMetreMm: number,
/**
 * One standard deviation of it.
 */
perMetreSpreadMm: number, };

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
 * When, milliseconds since 1970 UTC.
 */
atMs: number,
/**
 * Minutes east of UTC on the clock that recorded it.
 */
offsetMin: number,
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
 * A deflection under a hung mass, beside the document's table and the tension it tells.
 */
export type DeflectionCheck = {
/**
 * The entry.
 */
entry: Hash,
/**
 * The bay.
 */
bay: Subject,
/**
 * The bay's name.
 */
bayName: string,
/**
 * Pass, final or recheck; what hung in the last pass is as good as final.
 */
stage: Stage,
/**
 * Number of the pass, as told.
 */
pass: number | null,
/**
 * When it was told, milliseconds since 1970 UTC.
 */
atMs: number,
/**
 * Whether a later one in its bay took its place, or the wire was brought up anew since.
 */
replaced: boolean,
/**
 * Whether the wire was let out and brought up anew since.
 */
anew: boolean,
/**
 * Whether the wire was let out since, in whatever bay: it comes up by its passes first.
 */
letOut: boolean,
/**
 * Whether people differ on it: then a word that shows a sag counts, else the furthest down.
 */
disputed: boolean,
/**
 * Why it tells no tension; none where it tells one.
 */
untold: string | null,
/**
 * Deflection read.
 */
deflectionMm: number,
/**
 * Mass as weighed.
 */
massKg: number,
/**
 * Largest deflection by the document's table; none where the mass falls short of the table's or
 * the bay is only a part of the one that the table counts.
 */
mostMm: number | null,
/**
 * That table's mass.
 */
tableMassKg: number | null,
/**
 * In hand before that limit; below zero where it is over.
 */
marginMm: number | null,
/**
 * Within that limit by less than the ruler leaves open: it may be over.
 */
atTheMark: boolean,
/**
 * Tension that it tells, wire taken as gripped at the posts: the careful answer.
 */
grippedN: number | null,
/**
 * Least and most of that for half a millimetre of the ruler.
 */
grippedBandN: [number, number] | null,
/**
 * The same, wire taken as sliding through the posts.
 */
slidingN: number | null,
/**
 * Least and most of that for half a millimetre of the ruler.
 */
slidingBandN: [number, number] | null,
/**
 * One sentence.
 */
sentence: string, };

/**
 * Names a device: the first 128 bits of the SHA-256 of its public key.
 */
export type DeviceId = string;

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
whole: string,
/**
 * The person of the crew whom it says to be at it, by name; left out for somebody new.
 */
saysItIs?: string, };

/**
 * What part of a drawing a shape is.
 */
export type DrawingRole = "bay" | "floor" | "stair" | "nosing" | "floorLevel" | "lowSpot" | "rail" | "wall" | "wire" | "wireNumber" | "post" | "postName" | "end" | "dimension" | "bayLength" | "opening" | "height" | "sphere" | "ruleSet";

/**
 * One shape. Places are millimetres from the drawing's upper left corner.
 */
export type DrawingShape = { "kind": "line",
/**
 * Where it starts.
 */
x1: number,
/**
 * Where it starts, down.
 */
y1: number,
/**
 * Where it ends.
 */
x2: number,
/**
 * Where it ends, down.
 */
y2: number,
/**
 * Thickness of the thing drawn, where it has one.
 */
width?: number | null,
/**
 * What part of the drawing it is.
 */
role: DrawingRole,
/**
 * The thing in the record, as its subject's text; none for what can't be touched.
 */
subject?: string | null,
/**
 * How far the thing has come.
 */
state?: DrawingState | null, } | { "kind": "box",
/**
 * Left edge.
 */
x: number,
/**
 * Upper edge.
 */
y: number,
/**
 * Width.
 */
w: number,
/**
 * Height.
 */
h: number,
/**
 * What part of the drawing it is.
 */
role: DrawingRole,
/**
 * The thing in the record, as its subject's text; none for what can't be touched.
 */
subject?: string | null,
/**
 * How far the thing has come.
 */
state?: DrawingState | null, } | { "kind": "text",
/**
 * Where it is anchored.
 */
x: number,
/**
 * Base line.
 */
y: number,
/**
 * The text, as people wrote it: to be escaped by who writes it into markup.
 */
text: string,
/**
 * Which part of the text stands at `x`.
 */
anchor: Anchor,
/**
 * Size against the drawing's ordinary text.
 */
size?: number | null,
/**
 * What part of the drawing it is.
 */
role: DrawingRole,
/**
 * The thing in the record, as its subject's text; none for what can't be touched.
 */
subject?: string | null,
/**
 * How far the thing has come.
 */
state?: DrawingState | null, } | { "kind": "mark",
/**
 * Middle.
 */
x: number,
/**
 * Middle, down.
 */
y: number,
/**
 * The letter or sign.
 */
mark: string,
/**
 * What part of the drawing it is.
 */
role: DrawingRole,
/**
 * The thing in the record, as its subject's text; none for what can't be touched.
 */
subject?: string | null,
/**
 * How far the thing has come.
 */
state?: DrawingState | null, };

/**
 * How far a thing has come, or what is the matter with it.
 */
export type DrawingState = "none" | "interpolated" | "measured" | "cut" | "read" | "fitted" | "tensioned" | "checked" | "rejected" | "thread" | "over" | "readAgain" | "offerAgain" | "below" | "passes" | "disputed" | "newer";

/**
 * A run as a list of shapes.
 */
export type DrawingView = {
/**
 * Width in mm of the run.
 */
width: number,
/**
 * Height in mm of the run.
 */
height: number,
/**
 * Shapes from back to front: line, box, text, mark; each with role, subject, state.
 */
shapes: Array<DrawingShape>, };

/**
 * Takes something of the crew's own out of the library.
 */
export type DropOwn = {
/**
 * The subject: `ruleSet:<id>`, `strand:<id>` or `fittingSet:<id>`.
 */
subject: string,
/**
 * Why.
 */
reason: string, };

/**
 * Which upload to forget.
 */
export type DropUpload = {
/**
 * The upload's name.
 */
upload: string, };

/**
 * How much of a strand's breaking load may be used.
 */
export type Efficiency = {
/**
 * Terminal efficiency in tenths of a percent.
 */
permille: number,
/**
 * Safety factor in hundredths.
 */
factorPercent: number, };

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
angledSeat: boolean,
/**
 * How far the middles of its holes stand off the middle of the face that they enter: to the right
 * of someone who looks at that face, to the left below zero; none where they stand in the middle.
 */
asideNm?: number,
/**
 * On which side, seen so, the holes of another run enter the post; none where nobody told.
 */
otherEnters?: FaceSide, };

/**
 * Ends a device.
 */
export type EndDevice = {
/**
 * The device.
 */
device: string,
/**
 * Set when the person was asked whether all of its entries came, and said yes.
 */
confirmed?: boolean, };

/**
 * Kind of end.
 */
export type EndKind = "insert" | "turnbuckle" | "fixedEnd" | "throughBolt" | "wallPlate" | "eye";

/**
 * Kinds of failure; one exists only where a caller does something different on it.
 */
export type ErrorCode = "unknownCommand" | "invalid" | "questioned" | "notFound" | "disputed" | "changed" | "locked" | "newer" | "storage" | "cancelled" | "fault" | "internal";

/**
 * Wires that were heard alike: by one method in one bay, in one stage and pass.
 */
export type EvenGroup = {
/**
 * Sound or hung phone.
 */
method: Method,
/**
 * The bay as a place: `<post>:<post>`.
 */
bay: string,
/**
 * The bay's name.
 */
bayName: string,
/**
 * Where in the work they were heard.
 */
stage: Stage,
/**
 * Number of the pass, where it was one.
 */
pass: number | null,
/**
 * Median of the wires; none while fewer than three were heard.
 */
medianN: number | null,
/**
 * Wires from the bottom; empty while fewer than three were heard.
 */
lines: Array<EvenLine>,
/**
 * Wires from the bottom that were turned since they were heard, or may have been.
 */
again: Array<HearAgain>,
/**
 * How many were heard and not turned since.
 */
heard: number,
/**
 * One sentence on the whole.
 */
sentence: string, };

/**
 * One wire.
 */
export type EvenLine = {
/**
 * Number from the bottom.
 */
wire: number,
/**
 * "A6".
 */
name: string,
/**
 * As heard.
 */
newtons: number,
/**
 * Share over the middle one; -0.1 is a tenth below.
 */
over: number,
/**
 * What that means.
 */
evenness: Evenness,
/**
 * One sentence.
 */
sentence: string, };

/**
 * A wire that needs turning, all looked at together.
 */
export type EvenStep = {
/**
 * Number of the wire.
 */
wire: number,
/**
 * "A6".
 */
name: string,
/**
 * What to turn.
 */
turn: TurnIn,
/**
 * What it shows when it has just been turned, rounded as in one pass.
 */
showsN: number, };

/**
 * How even the wires of a run are.
 */
export type EvenUp = {
/**
 * The run.
 */
run: ItemId,
/**
 * Its name.
 */
runName: string,
/**
 * What was heard alike; most wires first.
 */
groups: Array<EvenGroup>,
/**
 * What to say beside it.
 */
caution: string, };

/**
 * How a wire stands beside the middle one.
 */
export type Evenness = "tighter" | "slacker" | "alike";

/**
 * What a picture or document shows or proves, in the inspector's order.
 */
export type Evidence = "postFixing" | "railJoint" | "engineersLetter" | "postAdded" | "materials" | "tools" | "sampleCrimp" | "crimps" | "templateCheck" | "engagement" | "gaugeOnWire" | "massCheck" | "opening" | "height" | "handrail" | "wideView" | "endPost" | "below" | "defectBefore" | "defectAfter" | "recheck" | "leftSafe" | "permit" | "clientChoice" | "other";

/**
 * Where a piece of evidence stands.
 */
export type EvidenceState = "there" | "waived" | "lacking";

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
last: SyncReport | null,
/**
 * When that was, milliseconds since 1970 UTC.
 */
lastMs: number | null,
/**
 * Entries of this device that are not in the folder yet.
 */
unshared: number,
/**
 * What somebody saw of the crew's books and is not here, or is another here.
 */
notHere: Array<NotHere>, };

/**
 * What a ruler at mid span of a bay is expected to show under the mass.
 */
export type ExpectedDown = {
/**
 * The bay.
 */
bay: Subject,
/**
 * Its name.
 */
bayName: string,
/**
 * The table's mass, else two kilograms.
 */
massKg: number,
/**
 * Square to a wire at what it has to show at least, millimetres: gripped, and sliding where every
 * bay is known.
 */
atRequiredMm: [number, number | null] | null,
/**
 * The same at its set tension.
 */
atSetMm: [number, number | null] | null,
/**
 * That a ruler leaves more open here than lies between required and upper tension, with what to do
 * instead; none where it tells enough, or where one of the two tensions is not known.
 */
tooCoarse: TooCoarse | null, };

/**
 * Faces that carry the same holes.
 */
export type FaceGroup = {
/**
 * Which they are, without the word post: "A1 towards A2", "A2, A4, A5, both faces".
 */
title: string,
/**
 * The faces, in the order of the run.
 */
faces: Array<HoleFace>, };

/**
 * A side of a post's face, for someone who looks at the face.
 */
export type FaceSide = "left" | "right";

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
 * Set where a later reading of the same opening took its place.
 */
readAgain?: boolean,
/**
 * Words that stand, oldest first.
 */
words: Array<WordView>,
/**
 * Number of words, replaced ones included.
 */
said: number, };

/**
 * Something that could not be done this time.
 */
export type Fault = {
/**
 * What happened, what was kept, what to do.
 */
message: string,
/**
 * Whether the next exchange may do it without anybody changing anything.
 */
retryable: boolean, };

/**
 * Unit of a quantity.
 */
export type FigureUnit = "mm" | "N";

/**
 * Where the bytes of a survey, picture or document are.
 */
export type FileSource = { "kind": "file",
/**
 * Its path.
 */
path: string, } | { "kind": "upload",
/**
 * The upload.
 */
upload: string,
/**
 * Number of its bytes.
 */
bytes: number, };

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
 * One figure held against one rule.
 */
export type Finding = {
/**
 * What it is about.
 */
topic: Topic,
/**
 * Where, in words.
 */
place: string,
/**
 * Where, as a subject.
 */
subject: Subject,
/**
 * What is asked.
 */
required: Quantity | null,
/**
 * What was measured or planned.
 */
actual: Quantity | null,
/**
 * Where that figure is from.
 */
actualOrigin: Origin | null,
/**
 * What is in hand; below zero where it is missing.
 */
margin: Quantity | null,
/**
 * How the two stand.
 */
verdict: Verdict,
/**
 * Where the rule is from.
 */
source: Source,
/**
 * Who must confirm.
 */
confirm: string,
/**
 * One sentence with the figures.
 */
sentence: string, };

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
value: any,
/**
 * How it came about, as of any value.
 */
with?: any, };

/**
 * A fitting set as its maker's sheet tells it.
 */
export type FittingSheet = {
/**
 * Kind of end that the terminals make.
 */
kind: EndKind,
/**
 * Kind of the other end, the right-hand one, where it is of another kind.
 */
rightKind?: EndKind,
/**
 * Figures of the left-hand terminal.
 */
left: { [key in string]: SheetFigure },
/**
 * Figures of the right-hand terminal.
 */
right: { [key in string]: SheetFigure },
/**
 * Figures of the set: `throughHoleNm`, `permille`, `factorPercent`, `insertPullMn`,
 * `threadLimitMn`, `fixedDeductionNm`.
 */
set: { [key in string]: SheetFigure }, };

/**
 * A fitting set to start from.
 */
export type FittingTemplate = {
/**
 * Short name.
 */
key: string,
/**
 * Name as a job shows it.
 */
name: string,
/**
 * Both terminals and where their figures are from.
 */
terminals: Terminals,
/**
 * Hole through intermediate posts.
 */
throughHole: Length,
/**
 * Terminal efficiency and factor of the safe load.
 */
efficiency: Efficiency,
/**
 * Where those two are from, each by its name where they differ ([`origins_apart`]).
 */
efficiencyOrigin: string,
/**
 * A common-practice deduction to compare with, where the set has one.
 */
fixedDeduction?: Length | null,
/**
 * Where that deduction is from.
 */
fixedDeductionOrigin?: string | null,
/**
 * Least straight pull of an insert, where known.
 */
insertPull?: Force | null,
/**
 * Most tension that the thread may carry, where its maker states it.
 */
threadLimit?: Force | null, };

/**
 * An opening as built, told by a person; most of them give nothing.
 */
export type FixedOpening = {
/**
 * The post or run.
 */
subject: Subject,
/**
 * Kind of opening.
 */
kind: OpeningKind,
/**
 * Where, in words.
 */
at: string,
/**
 * Clear size; where people differ, the widest.
 */
clearMm: number,
/**
 * Whether a wire bounds it, so that it gives under a push and stands among the bays' openings
 * too.
 */
besideAWire: boolean,
/**
 * Clear size less the sphere; none where no sphere is told.
 */
overSphereMm: number | null,
/**
 * Probe that was offered.
 */
probeMm: number | null,
/**
 * Push on it where it was measured; by hand where not.
 */
pushN: number | null,
/**
 * What the probe did.
 */
result: ProbeResult | null,
/**
 * Whether people differ on it.
 */
disputed: boolean,
/**
 * Who told it last.
 */
by: string, };

/**
 * Where the common-practice deduction ends, beside the window.
 */
export type FixedRule = {
/**
 * The fixed deduction.
 */
deductionMm: number,
/**
 * The cut that it gives.
 */
cutMm: number,
/**
 * Whether that cut lies inside the window.
 */
inside: boolean,
/**
 * By how much it is out; in hand to the nearer limit where it is inside.
 */
byMm: number,
/**
 * In words.
 */
sentence: string, };

/**
 * What stands out about a wire.
 */
export type Flag = "none" | "disputed" | "over" | "below" | "sags" | "newer" | "rejected" | "thread" | "readAgain";

/**
 * The gap below the bottom wire at one post.
 */
export type FloorAt = {
/**
 * The post.
 */
name: string,
/**
 * Floor to wire where heights follow the floor at each post.
 */
clearMm: number,
/**
 * The same when the coming floor lies.
 */
clearLaterMm: number,
/**
 * Floor to wire where all is drilled level from the first post.
 */
levelMm: number,
/**
 * Whether the sphere passes at rest, following the floor.
 */
passes: boolean,
/**
 * Whether it passes where all is drilled level.
 */
levelPasses: boolean,
/**
 * The gap as the run's wires are told to go; the wider of the two where nobody told.
 */
countsMm: number,
/**
 * Whether the sphere passes that one.
 */
countsPasses: boolean, };

/**
 * A force in millinewtons.
 */
export type Force = {
/**
 * Millinewtons.
 */
mn: number, };

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
 * What an opening lies between.
 */
export type GapBetween = "floorAndWire" | "wires" | "wireAndRail";

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
 * When, milliseconds since 1970 UTC.
 */
atMs: number,
/**
 * Minutes east of UTC on the clock that recorded it.
 */
offsetMin: number,
/**
 * The entry.
 */
entry: string, };

/**
 * A gate between two posts of the record, or between one and something else.
 */
export type Gate = {
/**
 * The run's post.
 */
post: ItemId,
/**
 * As a subject.
 */
subject: Subject,
/**
 * The post on the other side, where one is told.
 */
across: ItemId | null,
/**
 * Name: "gate between A6 and B1".
 */
name: string,
/**
 * Clear between the posts before tension, as told.
 */
clearBeforeMm: number | null,
/**
 * The same after it, least and most; none while something is missing.
 */
clearAfterMm: [number, number] | null,
/**
 * How far its posts move.
 */
posts: Array<GatePostMoves>,
/**
 * Gaps beside the leaf; none while something is missing.
 */
gaps: LeafGaps | null,
/**
 * The sphere of the job's rule set.
 */
sphere: GateSphere | null,
/**
 * What was measured beside the leaf.
 */
measured: Array<LeafMeasured>,
/**
 * What is missing, each in a sentence that says what to tell.
 */
missing: Array<string>,
/**
 * What is assumed or left out.
 */
notes: Array<string>,
/**
 * Who must confirm.
 */
confirm: string,
/**
 * The figures in a sentence or two; empty where none is known.
 */
sentence: string, };

/**
 * How far a post of a gate moves out of the opening.
 */
export type GatePostMoves = {
/**
 * The post.
 */
post: ItemId,
/**
 * Its name.
 */
name: string,
/**
 * The runs that pull on it; empty where none does.
 */
runs: Array<string>,
/**
 * Tension of the first of them, and where it is from.
 */
tension: string,
/**
 * Least; below zero where it may move into the opening.
 */
fromMm: number,
/**
 * Most.
 */
toMm: number,
/**
 * One sentence.
 */
sentence: string, };

/**
 * The sphere that must not pass.
 */
export type GateSphere = {
/**
 * Its diameter.
 */
sphereMm: number,
/**
 * Where the rule is from.
 */
source: Source, };

/**
 * The gates at a run's posts.
 */
export type Gates = {
/**
 * The run.
 */
run: ItemId,
/**
 * Its name.
 */
runName: string,
/**
 * Each gate once; empty where none of the posts is told as a gate's.
 */
gates: Array<Gate>,
/**
 * What people differ on that these figures may rest on.
 */
notes: Array<string>, };

/**
 * What a gauge must show to be clear of the required tension.
 */
export type GaugeClear = {
/**
 * The gauge.
 */
tool: ItemId,
/**
 * Least reading on it that is clear, in newtons; none where it states no error or nothing is
 * required.
 */
clearFromN: number | null,
/**
 * The most that it may show without its wire being over what nothing may exceed, in newtons; none where nothing
 * is known.
 */
mostShownN: number | null, };

/**
 * The gauge that readings are taken with.
 */
export type GaugeNote = {
/**
 * The tool.
 */
tool: ItemId,
/**
 * Its name.
 */
name: string,
/**
 * Its error as a share, where known.
 */
error: number | null,
/**
 * Compared and due, in words.
 */
dates: string, };

/**
 * A tension as a guide.
 */
export type Guide = {
/**
 * Newtons, in whole ones.
 */
newtons: number,
/**
 * Rounded to what plucks agree within.
 */
shownN: number,
/**
 * Lower edge of the band.
 */
leastN: number,
/**
 * Upper edge of the band.
 */
mostN: number, };

/**
 * Hand of a thread.
 */
export type Hand = "LH" | "RH";

/**
 * Asks for a copy of a template, of labels or of a handover's document.
 */
export type HandOut = {
/**
 * The file as it was told when it was written, under `templates/`, `labels/` or `handovers/` of the data folder.
 */
file: string,
/**
 * The folder to copy it into, which must be there. Without one: the person's own folder for
 * downloads, where the device names one.
 */
to?: string, };

/**
 * Asks for a copy of a document as it was taken in.
 */
export type HandOutDocument = {
/**
 * The job.
 */
job: string,
/**
 * The document's subject.
 */
document: string,
/**
 * The folder to copy it into, as for `handOut`.
 */
to?: string, };

/**
 * Hands a job over.
 */
export type HandOver = {
/**
 * The job.
 */
job: string,
/**
 * The folder to write; it must not exist or be empty. Without one: `handovers/` in the data folder.
 */
folder?: string, };

/**
 * Where the copy lies.
 */
export type HandedOut = {
/**
 * The copy.
 */
file: string,
/**
 * Its size.
 */
bytes: number, };

/**
 * A handover that was written.
 */
export type HandedOver = {
/**
 * Pieces of evidence that are missing; none where that can't be worked out.
 */
evidenceLacking: number | null,
/**
 * The folder.
 */
folder: string,
/**
 * The document as `handOut` takes it; none where a folder was named, since the person knows that one.
 */
pdf: string | null,
/**
 * SHA-256 of the document.
 */
document: Hash,
/**
 * Number of files.
 */
files: number,
/**
 * Bytes of all files.
 */
bytes: number,
/**
 * Originals in it.
 */
originals: number,
/**
 * Originals that are not on this device, or no longer whole there.
 */
missing: number, };

/**
 * A handover that was looked over.
 */
export type HandoverView = {
/**
 * Files whose sums were right.
 */
files: number,
/**
 * Entries of the job's book.
 */
entries: number,
/**
 * Entries of the crew's book.
 */
crewEntries: number,
/**
 * Originals that match an entry.
 */
originals: number,
/**
 * Originals that entries name and the folder says it has not.
 */
missing: number,
/**
 * The form of a state that an earlier version wrote, which was not made anew from the entries and
 * stands by the signature alone.
 */
earlierState: string | null,
/**
 * Entries that are kept but do not count, with the reason.
 */
notCounting: Array<string>,
/**
 * Who signed all files, in words; the name is the one that the crew gave its person.
 */
signed: string,
/**
 * The device that signed them.
 */
device: string,
/**
 * The founding entry of its crew: names can be anybody's, this can't.
 */
crew: string,
/**
 * Whether `crew` was asked for; else somebody has to compare it with what the crew tells.
 */
crewCompared: boolean, };

/**
 * A SHA-256 hash, printed as 64 lower-case hex digits.
 */
export type Hash = string;

/**
 * Asks what a recording tells of a wire's tension.
 */
export type Hear = {
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
 * Length of the span from pinch to pinch.
 */
length: Typed,
/**
 * The bay's place, `<post>:<post>`, where it is known; what is kept is of its round's bay.
 */
bay?: string,
/**
 * How the wire is held at the ends of the span; without it nothing is told.
 */
held?: SpanHeld,
/**
 * Mass of one metre of the strand in grams, as weighed; without it it is computed.
 */
gramsPerMetre?: string,
/**
 * The recordings.
 */
by: HeardBy, };

/**
 * A wire that was turned since it was heard: it is judged by nothing until it is heard again.
 */
export type HearAgain = {
/**
 * Number from the bottom.
 */
wire: number,
/**
 * "A6".
 */
name: string,
/**
 * As heard before it was turned.
 */
newtons: number,
/**
 * One sentence.
 */
sentence: string, };

/**
 * What was heard: a guide, or why there is none.
 */
export type Heard = {
/**
 * "A6".
 */
name: string,
/**
 * Sound or hung phone.
 */
method: Method,
/**
 * The tension; none where it is refused.
 */
guide: Guide | null,
/**
 * Why it is refused; none where there is a tension.
 */
refused: NotHeard | null,
/**
 * Each pluck.
 */
plucks: Array<Pluck>,
/**
 * What the answer rests on, as text with units and origins.
 */
numbers: Array<Number>,
/**
 * What was noticed about the recordings.
 */
notes: Array<string>,
/**
 * One sentence.
 */
sentence: string,
/**
 * What to say beside it.
 */
caution: string, };

/**
 * By what a tension is heard.
 */
export type HeardBy = { "kind": "plucks",
/**
 * WAV files.
 */
recordings: Array<RawSource>, } | { "kind": "swing",
/**
 * The motion: milliseconds and accelerations, one sample a line.
 */
motion: RawSource,
/**
 * Phone, clamp and what hangs with them, in grams as weighed.
 */
grams: string, };

/**
 * How a post is taken to be held.
 */
export type Held = "free" | "withRail" | "propped";

/**
 * One face of one post.
 */
export type HoleFace = {
/**
 * The post.
 */
post: ItemId,
/**
 * Its name.
 */
postName: string,
/**
 * The neighbour that the face looks to.
 */
face: string, };

/**
 * One hole on one face of one post.
 */
export type HoleLine = {
/**
 * The post.
 */
post: ItemId,
/**
 * Its name.
 */
postName: string,
/**
 * The neighbour that the face looks to.
 */
face: string,
/**
 * The wire, from the bottom.
 */
wire: number,
/**
 * Height on this face above the floor at the post; on a rake above the line of the nosings at
 * the post's middle.
 */
heightMm: number,
/**
 * How far its middle stands off the middle of the face, to the right of someone who looks at it; to
 * the left below zero.
 */
asideMm: number,
/**
 * Diameter.
 */
diameterMm: number,
/**
 * Depth along the hole.
 */
depthMm: number,
/**
 * Whether it goes through, drilled from both faces to meet in the middle.
 */
through: boolean,
/**
 * Hand of the insert.
 */
hand: Hand | null,
/**
 * Rise of the drill from square to the face, towards the run's end; degrees.
 */
riseDeg: number,
/**
 * Distance to the wire below as drilled at this post, where it was measured.
 */
drilledBelowMm: number | null,
/**
 * The same as planned, plumb.
 */
plannedBelowMm: number | null,
/**
 * The same as planned, square to the wires.
 */
plannedBelowSquareMm: number | null, };

/**
 * The hole schedule of a run.
 */
export type HoleSchedule = {
/**
 * The run.
 */
run: ItemId,
/**
 * Holes by post, face and wire.
 */
holes: Array<HoleLine>,
/**
 * Faces that carry the same holes, together.
 */
groups: Array<FaceGroup>,
/**
 * Holes of two runs that come close in one post.
 */
staggers: Array<Stagger>,
/**
 * The same, two runs and one post at a time.
 */
close: Array<CloseAt>,
/**
 * Holes for inserts.
 */
insertHoles: number,
/**
 * Holes through posts, each counted once.
 */
throughHoles: number,
/**
 * What was assumed or left out.
 */
notes: Array<string>, };

/**
 * Imports a survey.
 */
export type ImportSurvey = {
/**
 * The survey in JSON, or a table of lengths.
 */
source: FileSource,
/**
 * The job that it goes into; without one a survey begins a new job.
 */
job?: string,
/**
 * Set when a person was asked about odd values and said yes.
 */
confirmed?: boolean, };

/**
 * What an import recorded, and what it did not.
 */
export type Imported = {
/**
 * The job.
 */
job: string,
/**
 * Whether the import began it.
 */
began: boolean,
/**
 * What was recorded, by part.
 */
recorded: SurveyCounts,
/**
 * Values and readings that the job already had.
 */
already: number,
/**
 * Parts that were refused.
 */
refused: number,
/**
 * Odd values that wait for a person's yes.
 */
questioned: number,
/**
 * Fields and columns that are not known.
 */
ignored: number,
/**
 * Doubts about what was recorded.
 */
noted: number,
/**
 * Each of these, with its path in the file; the first thousand.
 */
problems: Array<SurveyProblem>, };

/**
 * How the index stands to the journal.
 */
export type IndexStands = "same" | "behind" | "none";

/**
 * The straight pull on each insert.
 */
export type InsertPull = {
/**
 * Pull on each.
 */
pullN: number,
/**
 * Least pull of the insert on record.
 */
figureN: number | null,
/**
 * Where that is from.
 */
figureOrigin: string | null,
/**
 * One sentence.
 */
sentence: string, };

/**
 * How a length was read.
 */
export type Instrument = "tape" | "laser" | "template" | "drawing" | "other";

/**
 * Releases wires for cutting.
 */
export type IssueCuts = {
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
 * Release other wires than the trial wire before it was fitted and read, and why.
 */
beforeTrial?: string,
/**
 * Which deduction to cut by: a choice that is asked for once a trial wire was read.
 */
deduction?: DeductionBy,
/**
 * Set when the person was asked and said yes: about a trial reading that can hardly be right,
 * lengths that contradict the bays, a bay that the table has no figure for.
 */
confirmed?: boolean,
/**
 * The lengths that the person saw, wire by wire. Where one of them is no longer what the
 * sheet says, nothing is released.
 */
seen?: Array<SeenCut>, };

/**
 * A release for cutting.
 */
export type Issued = {
/**
 * Length to cut.
 */
cutMm: number,
/**
 * Shortest, as told then.
 */
shortestMm: number,
/**
 * Longest, as told then.
 */
longestMm: number,
/**
 * By which deduction, where a trial wire had taught one by then.
 */
deduction: DeductionBy | null,
/**
 * The entry.
 */
entry: Hash,
/**
 * Who.
 */
by: string,
/**
 * The person.
 */
person: PersonId,
/**
 * When, milliseconds since 1970 UTC.
 */
atMs: number,
/**
 * Whether all that it was decided on still stands, and the sheet would release the same now.
 */
basisStands: boolean,
/**
 * Why it is looked at before it is cut, as a clause: "the sheet gives 7251 mm for it now"; left out
 * where it stands.
 */
moved?: string, };

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
 * Whose job it is, by name: who wrote in it, signed a stage of it, or is told as there on a visit.
 */
people: Array<string>,
/**
 * Number of values that people dispute or a newer version changed.
 */
disputed: number,
/**
 * Number of defects that are open.
 */
openDefects: number,
/**
 * Why its book can't be read here, in words; the other jobs are not touched by it.
 */
trouble?: string, };

/**
 * A whole job: claims, lines, disputes, decisions, admissions; sorted, integers only.
 */
export type JobState = {
/**
 * `tautbook-state-2`.
 */
format: string,
/**
 * The job's book.
 */
book: BookId,
/**
 * The founding entry of its crew.
 */
founding: Hash | null,
/**
 * Devices of the crew.
 */
members: Array<StateMember>,
/**
 * The newest entry of each device that counts.
 */
heads: Array<StateHead>,
/**
 * Every key with what stands on it.
 */
claims: Array<StateKey>,
/**
 * Entries that are kept and can't come to count by themselves: what waits is no part of the state.
 */
notCounting: Array<StateLeft>, };

/**
 * A job.
 */
export type JobView = { job: string, subject: string, title: string, place: string, facts: Array<FactView>, runs: Array<RunView>, photos: Array<PictureView>, documents: Array<PictureView>, defects: Array<DefectView>, tools: Array<ThingView>, batches: Array<ThingView>, visits: Array<ThingView>, strands: Array<ThingView>, fittingSets: Array<ThingView>, samples: Array<SampleView>, signOffs: Array<SignOffView>, unsettled: Array<UnsettledView>,
/**
 * What is said of wires and bays that the layout no longer has.
 */
noLonger: Array<NoLonger>, };

/**
 * Asks to join the crew of a shared folder.
 */
export type Join = {
/**
 * Path of the folder on this device.
 */
folder: string, };

/**
 * Keeps one text.
 */
export type Keep = {
/**
 * `ui:` and what it is, at most 200 letters, digits and marks without spaces.
 */
name: string,
/**
 * The text, at most 16 KiB of UTF-8; without one the name is forgotten.
 */
value?: string, };

/**
 * Keeps a fitting set of the crew's own.
 */
export type KeepFittingSet = {
/**
 * The crew's own fitting set that is told anew; a new one where none.
 */
id?: string,
/**
 * Its name.
 */
name: string,
/**
 * What the sheet tells; a figure that it does not tell is left out and asked for.
 */
sheet: FittingSheet,
/**
 * The figures as they were typed, with their units.
 */
entered?: string,
/**
 * Set when the person was asked about an odd figure and said yes.
 */
confirmed?: boolean, };

/**
 * Keeps what a recording tells, with the recording.
 */
export type KeepHeard = {
/**
 * What was heard, and how.
 */
heard: Hear,
/**
 * Set once for a round; its gauge plays no part.
 */
round: Round,
/**
 * What was found or done about it.
 */
remark?: string, };

/**
 * Which jobs an exchange brings here.
 */
export type KeepJobs = {
/**
 * Every job of the crew; else those that were chosen here or are here already.
 */
all: boolean, };

/**
 * Keeps what can still be used of a piece that was taken out.
 */
export type KeepOffcut = {
/**
 * The job.
 */
job: string,
/**
 * The wire's run.
 */
run: string,
/**
 * Number of the wire.
 */
wire: number,
/**
 * Number of the piece that was taken out.
 */
piece: number,
/**
 * The length that can be used, both swaged ends cut off.
 */
length: Typed,
/**
 * The person was asked whether a piece that was taken out as scrap, or all of one that was pressed, can be
 * used.
 */
confirmed?: boolean, };

/**
 * Keeps a rule set of the crew's own.
 */
export type KeepRuleSet = {
/**
 * What of.
 */
from: RuleSetFrom,
/**
 * Why: every document that rests on it prints it.
 */
why: string,
/**
 * The person was asked about figures far from what is usual, or places of a table that ask less
 * for more, and said that the document prints them so.
 */
confirmed?: boolean,
/**
 * The crew's own set that it takes the place of; a new one where none.
 */
id?: string, };

/**
 * Keeps a strand of the crew's own.
 */
export type KeepStrand = {
/**
 * The crew's own strand that is told anew; a new one where none.
 */
id?: string,
/**
 * Its name.
 */
name: string,
/**
 * What the sheet tells; a figure that it does not tell is left out.
 */
sheet: StrandSheet,
/**
 * The figures as they were typed, with their units.
 */
entered?: string,
/**
 * Set when the person was asked about an odd figure and said yes.
 */
confirmed?: boolean, };

/**
 * All that the screens keep on this device.
 */
export type Kept = {
/**
 * Texts by name, each name with its `ui:`.
 */
texts: { [key in string]: string }, };

/**
 * What was kept of a reading by sound or hung phone.
 */
export type KeptHeard = {
/**
 * Entries, in order.
 */
entries: Array<string>,
/**
 * The document that holds the raw recordings.
 */
created: string,
/**
 * Why the others do not see it yet, in words; left out where it counts.
 */
notCounting?: string,
/**
 * What was told.
 */
heard: Heard, };

/**
 * Labels that were written.
 */
export type LabelsWritten = {
/**
 * The file.
 */
file: string,
/**
 * Number of labels.
 */
labels: number,
/**
 * Released wires for which none was made, with the reason.
 */
leftOut: Array<Unlabelled>,
/**
 * Bytes of the file.
 */
bytes: number, };

/**
 * One piece of evidence.
 */
export type Lack = {
/**
 * Its name in a waiver's place.
 */
key: string,
/**
 * Number of the handover's section.
 */
section: number,
/**
 * That section's title.
 */
sectionTitle: string,
/**
 * What it is, in words.
 */
name: string,
/**
 * What it is about.
 */
subject: Subject,
/**
 * Where it stands.
 */
state: EvidenceState,
/**
 * What is there, or what is still to do, in words.
 */
detail: string,
/**
 * The person's reason, where it is waived.
 */
waivedBecause: string | null,
/**
 * Who waived it.
 */
waivedBy: string | null,
/**
 * Whether a picture or document settles it.
 */
asksForPicture: boolean,
/**
 * Which evidence that picture has to be marked as.
 */
evidence: Evidence | null,
/**
 * Who asks: the rule set's document, or common practice.
 */
askedBy: string, };

/**
 * The evidence list of a job.
 */
export type Lacks = {
/**
 * All items in the inspector's order.
 */
items: Array<Lack>,
/**
 * How many are lacking.
 */
lacking: number,
/**
 * How many are waived.
 */
waived: number,
/**
 * How many are there.
 */
there: number, };

/**
 * Asks for a layout of a run's wires.
 */
export type LayOut = {
/**
 * The job.
 */
job: string,
/**
 * The run's id.
 */
run: string,
/**
 * What is to be kept.
 */
wishes?: LayoutWishes, };

/**
 * What could be laid out for a run.
 */
export type LayoutProposals = {
/**
 * The run.
 */
run: ItemId,
/**
 * Its name.
 */
runName: string,
/**
 * The rule set; none where none is chosen.
 */
ruleSet: RuleSetNote | null,
/**
 * Underside of the rail that is laid out to, nanometres.
 */
railNm: number | null,
/**
 * Slope of the wires.
 */
slopeDeg: number,
/**
 * The widest bay.
 */
widestBay: string | null,
/**
 * Its clear distance along the wire.
 */
widestBayMm: number | null,
/**
 * Least kept before the next row.
 */
inHandMm: number,
/**
 * Step of the heights.
 */
stepMm: number,
/**
 * The sphere that the rule set names.
 */
sphereMm: number | null,
/**
 * Whether heights are marked from the floor at each post; none where nobody told, or people
 * differ: then the wider gap below the bottom wire counts.
 */
followsFloor: boolean | null,
/**
 * Whether the rail follows the floor; none where nobody told, or people differ: then the widest and
 * the least gap above the top wire count.
 */
railFollowsFloor: boolean | null,
/**
 * How far a tread stands out over the riser below it, by which it was laid out; none where it is
 * not told, and on a run without slope.
 */
overhangNm: number | null,
/**
 * The same as the record has it.
 */
presentOverhangNm: number | null,
/**
 * Heights that stand in the record, nanometres.
 */
presentNm: Array<number>,
/**
 * What could be laid out, the closest spacing first.
 */
proposals: Array<Proposal>,
/**
 * What a person has to ask before anything is laid out.
 */
askFirst: Array<string>,
/**
 * What is missing; then nothing is proposed.
 */
missing: Array<string>,
/**
 * What was assumed or left out.
 */
notes: Array<string>, };

/**
 * What a layout is asked to keep; what is left out is taken from the record or as usual.
 */
export type LayoutWishes = {
/**
 * Underside of the rail, plumb, where it is not the recorded one.
 */
rail?: Typed,
/**
 * Height of the bottom wire's middle, plumb; as far as the wires from each other where none.
 */
bottom?: Typed,
/**
 * Least to keep before the next row of the table; 4 mm, or an eighth of an inch, where none.
 */
inHand?: Typed,
/**
 * Widest spacing wanted, square to the wires, whatever row it reads; where the rule set has no table it
 * stands in place of a row and is needed.
 */
widest?: Typed,
/**
 * How far a tread stands out over the riser below it.
 */
overhang?: Typed,
/**
 * Unit in which heights are whole: millimetres, or sixteenths of an inch.
 */
unit?: Unit, };

/**
 * The gaps beside a leaf; below zero the leaf is wider than what it hangs in.
 */
export type LeafGaps = {
/**
 * At the hinges, which the pull leaves as it is; none where it is not told.
 */
hingesMm: number | null,
/**
 * At the latch before tension, where that at the hinges is told.
 */
latchBeforeMm: number | null,
/**
 * The same after it, least and most.
 */
latchAfterMm: [number, number] | null,
/**
 * Both gaps together before tension.
 */
bothBeforeMm: number,
/**
 * The same after it, least and most.
 */
bothAfterMm: [number, number],
/**
 * What the leaf's far corner needs to swing by, where its thickness is told.
 */
swingNeedsMm: number | null,
/**
 * What is left of the narrowest gap at the latch then.
 */
swingInHandMm: number | null,
/**
 * Widest gap, before or after tension.
 */
widestMm: number,
/**
 * By how much the rules' sphere is larger; below zero it passes.
 */
marginMm: number | null,
/**
 * Whether that sphere passes.
 */
passes: boolean, };

/**
 * A gap beside the leaf as it was measured.
 */
export type LeafMeasured = {
/**
 * Name of the post at which it was recorded.
 */
post: string,
/**
 * Clear size; where people differ, the widest.
 */
clearMm: number,
/**
 * Before or after tension, where that was told.
 */
moment: Moment | null,
/**
 * Where, in words.
 */
remark: string | null,
/**
 * What the probe did.
 */
result: ProbeResult | null, };

/**
 * A cut by the learned deduction.
 */
export type LearnedCut = {
/**
 * What to cut, on the tape's millimetre.
 */
aimMm: number,
/**
 * Shortest cut that still works.
 */
shortestMm: number,
/**
 * Longest cut that still works.
 */
longestMm: number,
/**
 * Inside to inside less the middle of the window.
 */
deductionMm: number,
/**
 * By how much the middle of the window moved; below zero: shorter.
 */
movedMm: number,
/**
 * By how much the finished engagement is learned to be off; below zero: the wire takes up more.
 */
offsetMm: number,
/**
 * Standard deviation of the finished engagement.
 */
spreadMm: number,
/**
 * Chance that the cut ends inside its window; none while a length that it rests on is asked about, and where
 * nobody knows how far its end posts move.
 */
chance: number | null,
/**
 * The same in words, never above ">99 %".
 */
chanceWords: string,
/**
 * Chance that the cut as computed ends inside this window; left out of the computed cut itself.
 */
computedChance?: number, };

/**
 * What the trial wires of a run teach.
 */
export type Learning = {
/**
 * The run.
 */
run: ItemId,
/**
 * Its name.
 */
runName: string,
/**
 * The wire that is fitted first.
 */
trialWire: number,
/**
 * What is still to be done before anything is learned; none where something is.
 */
waiting: string | null,
/**
 * Fitted wires as they were read.
 */
readings: Array<TrialReading>,
/**
 * What they teach, on one line; none before one was read.
 */
taught: Taught | null,
/**
 * The deduction's line as fittings and strand compute it, without the posts' movement.
 */
before: DeductionLine | null,
/**
 * The same as learned.
 */
after: DeductionLine | null,
/**
 * Spread of one fitted wire about that line.
 */
fittedSpreadMm: number,
/**
 * Cuts that are left, from the bottom.
 */
left: Array<CutLeft>,
/**
 * Whether one more trial wire is worth its cost; none before one was read.
 */
another: AnotherTrial | null,
/**
 * What was assumed or left out.
 */
notes: Array<string>, };

/**
 * The bays between two corners, or between one and an end.
 */
export type LegBehind = {
/**
 * Name of the post at which it begins.
 */
from: string,
/**
 * Name of the post at which it ends.
 */
to: string,
/**
 * Its bays.
 */
bays: Array<Subject>,
/**
 * Least that its wires get, newtons.
 */
leastN: number,
/**
 * Most.
 */
mostN: number,
/**
 * Most that they may lack of what is required; none where they don't, or nothing is required.
 */
lacksN: number | null,
/**
 * One sentence.
 */
sentence: string, };

/**
 * A length in nanometres.
 */
export type Length = {
/**
 * Nanometres.
 */
nm: number, };

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
 * What can be copied into a job.
 */
export type Libraries = {
/**
 * Rule sets that come with the program.
 */
ruleSets: Array<RuleSetFile>,
/**
 * Strands that come with the program.
 */
strands: Array<StrandTemplate>,
/**
 * Fitting sets that come with the program.
 */
fittingSets: Array<FittingTemplate>,
/**
 * What the crew keeps.
 */
own: Own, };

/**
 * What lines the hole through an intermediate post.
 */
export type Lining = "bare" | "grommetHalves" | "sleeve";

/**
 * What was looked over and found in order.
 */
export type LookedOver = { "kind": "data" } & DataLookedOver | { "kind": "shared" } & SharedLookedOver | { "kind": "handover" } & HandoverView;

/**
 * One mark. `x` counts from the left, `y` from the top.
 */
export type Mark = { "kind": "arrow", x: number, y: number, toX: number, toY: number, } | { "kind": "ring", x: number, y: number, toX: number, toY: number, } | { "kind": "text", x: number, y: number, text: string, };

/**
 * Marks a copy of a picture.
 */
export type MarkPicture = {
/**
 * The job.
 */
job: string,
/**
 * The picture's subject.
 */
picture: string,
/**
 * All its marks, in the order in which they were drawn; none takes them back.
 */
marks: Array<Mark>,
/**
 * The entries that stood there when the person looked. Where others stand by now nothing is said, and
 * the answer is `changed`.
 */
seen?: Array<string>, };

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
 * Read between post faces: how far the inserts of both ends together stand proud of them;
 * below zero when recessed.
 */
proud?: Typed,
/**
 * With what.
 */
instrument: Instrument,
/**
 * Which of the job's tools, where it is one.
 */
tool?: string,
/**
 * One standard deviation of the reading, where it is known.
 */
spread?: Typed,
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
 * Which of the job's tools, where it is one.
 */
tool?: string,
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
 * Before the wires were tensioned, or after.
 */
export type Moment = "beforeTension" | "afterTension";

/**
 * Counts by what was moved.
 */
export type Moved = {
/**
 * Pieces of logs.
 */
segments: number,
/**
 * Small pictures.
 */
thumbs: number,
/**
 * Pictures for the screen.
 */
views: number,
/**
 * Files as they were taken in.
 */
originals: number,
/**
 * Bytes of all of them.
 */
bytes: number, };

/**
 * Takes a new identity.
 */
export type NewIdentity = {
/**
 * Set when entries that were not exchanged may stay on this device alone: under the new
 * identity they can't be sent any more.
 */
leaveUnsent?: boolean, };

/**
 * The next useful act.
 */
export type Next = {
/**
 * The act; none when nothing is left.
 */
act: NextAct | null, };

/**
 * One next useful act.
 */
export type NextAct = {
/**
 * What.
 */
what: NextWhat,
/**
 * Name of this act for skipping it.
 */
key: string,
/**
 * The run.
 */
run: ItemId | null,
/**
 * What it is about.
 */
subject: Subject,
/**
 * The big button's words.
 */
sentence: string,
/**
 * Its headline figure with unit, where there is one.
 */
figure: string | null,
/**
 * The field of the subject that is to be told, where it is one.
 */
field?: string,
/**
 * The round in which a wire is to be read, where it is one of several.
 */
stage?: Stage,
/**
 * The bay in which a wire is to be read, where it is one of several.
 */
bay?: Subject,
/**
 * Wires still to do in this act.
 */
wires: Array<number>,
/**
 * How many of this act are still to do, this one included.
 */
left: number, };

/**
 * The next row or column of a table of largest deflections.
 */
export type NextDeflection = {
/**
 * Post distance or spacing of that row.
 */
atMm: number,
/**
 * In hand before it.
 */
distanceMm: number,
/**
 * What it says.
 */
outcome: RowOutcome,
/**
 * Its largest deflection.
 */
mostMm: number | null, };

/**
 * The next row or column of a table.
 */
export type NextRow = {
/**
 * Post distance or spacing of that row.
 */
atMm: number,
/**
 * In hand before it (or over it, for the row below).
 */
distanceMm: number,
/**
 * What it says.
 */
outcome: RowOutcome,
/**
 * Its figure, newtons.
 */
newtons: number | null,
/**
 * Its figure less this bay's, newtons.
 */
differenceN: number | null, };

/**
 * What is to be done next.
 */
export type NextWhat = "chooseRuleSet" | "addRun" | "finishLayout" | "tellFact" | "settle" | "measureWire" | "beforeOrdering" | "issueCuts" | "cutWire" | "sampleCrimp" | "markInsertion" | "pressFirstEnd" | "thread" | "pressSecondEnd" | "fit" | "readTrial" | "remake" | "tensionPass" | "tensionFinal" | "letOut" | "raise" | "engage" | "checkGaps" | "closeDefect" | "evidence" | "recheck" | "handOver";

/**
 * A wire or bay that the layout no longer has.
 */
export type NoLonger = {
/**
 * The wire or bay in text form.
 */
subject: string,
/**
 * Its name, with the words that it is no longer there.
 */
name: string,
/**
 * People differ on what decides whether it is there.
 */
disputed: boolean,
/**
 * What is said of it.
 */
said: Array<StillSaid>, };

/**
 * A wire that no reel or offcut can give.
 */
export type NoStock = {
/**
 * The wire's run.
 */
run: ItemId,
/**
 * Number of the wire.
 */
wire: number,
/**
 * "A6".
 */
name: string,
/**
 * Length to cut.
 */
cutMm: number,
/**
 * Why, and what to do.
 */
reason: string, };

/**
 * An entry that is kept and does not count.
 */
export type NotCounting = {
/**
 * Its book.
 */
book: BookId,
/**
 * Its device.
 */
device: DeviceId,
/**
 * Its number.
 */
n: number,
/**
 * Its id.
 */
entry: Hash,
/**
 * Why, in words.
 */
why: string, };

/**
 * Why nothing is told, and what to do.
 */
export type NotHeard = {
/**
 * Why, one sentence.
 */
reason: string,
/**
 * What to do, one sentence.
 */
remedy: string, };

/**
 * An end of a device's entries that somebody saw and that is not here, or is another here.
 */
export type NotHere = {
/**
 * The book.
 */
book: string,
/**
 * Whose entries: first name, or the device's id where no name is known.
 */
whose: string,
/**
 * Who saw them; none where this device itself had them.
 */
by: string | null,
/**
 * How many were seen.
 */
seen: number,
/**
 * How many are here.
 */
here: number,
/**
 * Whether as many are here, and another one stands at the number that was seen.
 */
differs: boolean,
/**
 * The same in a sentence.
 */
words: string, };

/**
 * Wires that are not cut and not in the plan, for one reason.
 */
export type NotReady = {
/**
 * Their run.
 */
run: ItemId,
/**
 * Their numbers; empty where the reason is the run's.
 */
wires: Array<number>,
/**
 * "A1–5, 7".
 */
names: string,
/**
 * Why, and what to do.
 */
reason: string, };

/**
 * The request or answer that says nothing: `{}`.
 */
export type Nothing = Record<symbol, never>;

/**
 * Where a wire's present tension is from.
 */
export type NowFrom = "read" | "computed" | "mass" | "slack";

/**
 * A number as it was told.
 */
export type Number = {
/**
 * What it is.
 */
name: string,
/**
 * The number with its unit.
 */
value: string,
/**
 * Where it is from.
 */
origin: string, };

/**
 * Names a crew by its book.
 */
export type OfCrew = {
/**
 * The crew's book.
 */
crew: string, };

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
 * Names a rule set.
 */
export type OfRuleSet = {
/**
 * Name in the program's library, or the id of the crew's own set.
 */
name: string, };

/**
 * Names a run of a job.
 */
export type OfRun = {
/**
 * The job.
 */
job: string,
/**
 * The run's id.
 */
run: string, };

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
over?: Array<string>,
/**
 * For a single value: the entries that stood there when the person looked. Where others stand
 * by now nothing is said, and the answer is `changed`.
 */
seen?: Array<string>, };

/**
 * The one end of a run that is turned.
 */
export type OneEnd = {
/**
 * Its post's name.
 */
post: string,
/**
 * Whether that is the run's last post.
 */
last: boolean, };

/**
 * One pass over the wires that are left to turn, or why not.
 */
export type OnePassPlan = {
/**
 * Whether in the best order no wire has to show more than leaves it below the upper tension,
 * the gauge's error counted.
 */
possible: boolean,
/**
 * Largest target of the best order, not rounded.
 */
largestN: number,
/**
 * The largest that the steps show; none where it is not possible.
 */
showsMostN: number | null,
/**
 * Whether no order has a smaller one.
 */
provenLeast: boolean,
/**
 * The best order of the wires that are left to turn with its targets; empty where it is not possible.
 */
steps: Array<OneStep>,
/**
 * The usual orders from slack wires, the least first; empty once something was tightened.
 */
usual: Array<UsualOrder>,
/**
 * One sentence.
 */
sentence: string, };

/**
 * A wire in a single pass.
 */
export type OneStep = {
/**
 * Number of the wire.
 */
wire: number,
/**
 * "A6".
 */
name: string,
/**
 * What it has to show when it has just been tightened in this order, as the gauge can tell it, and
 * never so much that it may be above the upper tension.
 */
showsN: number,
/**
 * What it has to show where it is turned next, whatever stands before it in the order; none where
 * it may be above the upper tension then.
 */
next: ToShow | null,
/**
 * What to turn.
 */
turn: TurnIn, };

/**
 * A bay for which the table has no figure: no tension answers for it.
 */
export type OpenBay = {
/**
 * Its name.
 */
name: string,
/**
 * Not allowed, or outside the table.
 */
outcome: RowOutcome,
/**
 * One sentence.
 */
sentence: string, };

/**
 * Kind of opening that a sphere could pass.
 */
export type OpeningKind = "floorToBottomWire" | "topWireToRail" | "endPostToWall" | "postToDeckEdge" | "stairTriangle" | "gateLeaf" | "other";

/**
 * Where a figure is from.
 */
export type Origin = "measured" | "interpolated" | "computed" | "assumed" | "table" | "maker" | "designer" | "commonPractice" | "recorded";

/**
 * A run that pulls on the same post.
 */
export type OtherRun = {
/**
 * The run.
 */
run: ItemId,
/**
 * Its name.
 */
name: string,
/**
 * Its wires there.
 */
wires: number,
/**
 * Tension of each.
 */
tensionN: number,
/**
 * Where that tension is from, in words.
 */
tensionOrigin: string,
/**
 * Inside angle to the run that is looked at; none where it is not told or disputed.
 */
angleDeg: number | null, };

/**
 * Which way a wire is out.
 */
export type OutWay = "tooLong" | "tooShort";

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
 * Crews that this device knows; one that was begun and never used is left out.
 */
crews: Array<CrewView>,
/**
 * Jobs of the current crew.
 */
jobs: Array<JobCard>,
/**
 * Whether exchanges bring every job of the crew; else those that were chosen here.
 */
keepsAll: boolean,
/**
 * Why this device can record nothing, in words; left out where it can.
 */
trouble?: string,
/**
 * What was saved on this device and does not count any more, in words; left out where nothing.
 */
brokenOff?: string,
/**
 * What a newer version recorded and this one can't take in, in words; left out where nothing.
 */
newer?: string,
/**
 * The program's version.
 */
program: string, };

/**
 * All that a crew keeps for its jobs.
 */
export type Own = {
/**
 * Rule sets, by title.
 */
ruleSets: Array<OwnRuleSet>,
/**
 * Strands, by name.
 */
strands: Array<OwnStrand>,
/**
 * Fitting sets, by name.
 */
fittingSets: Array<OwnFitting>, };

/**
 * What the post itself is known to bear, beside which the demand is put.
 */
export type OwnFigure = {
/**
 * Bending strength, megapascals.
 */
strengthMpa: number,
/**
 * Where it is from.
 */
origin: string,
/**
 * What a design rule leaves of it under a pull that stays, megapascals.
 */
designMpa: number | null,
/**
 * The moment at the base that goes with that, newton metres; none where nobody knows whether the post
 * is solid.
 */
designMomentNm: number | null,
/**
 * By which rule, and how far it is from memory.
 */
designOrigin: string | null, };

/**
 * A fitting set of the crew.
 */
export type OwnFitting = {
/**
 * Its id, by which a job uses it.
 */
id: ItemId,
/**
 * Its name.
 */
name: string,
/**
 * What the sheet tells; none where people disagree on it.
 */
sheet: FittingSheet | null,
/**
 * The figures for a job; none while something is asked for.
 */
template: FittingTemplate | null,
/**
 * What is missing.
 */
asks: Array<string>,
/**
 * What was assumed and the band that it leads to.
 */
bands: Array<string>, };

/**
 * A rule set of the crew.
 */
export type OwnRuleSet = {
/**
 * Its id, by which a job uses it.
 */
id: ItemId,
/**
 * The file; its name is that id.
 */
file: RuleSetFile,
/**
 * Who made it of what, and why, in one sentence.
 */
changed: string, };

/**
 * A strand of the crew.
 */
export type OwnStrand = {
/**
 * Its id, by which a job uses it.
 */
id: ItemId,
/**
 * Its name.
 */
name: string,
/**
 * What the sheet tells; none where people disagree on it.
 */
sheet: StrandSheet | null,
/**
 * The figures for a job; none while something is asked for.
 */
template: StrandTemplate | null,
/**
 * What is missing.
 */
asks: Array<string>,
/**
 * What was assumed and the band that it leads to.
 */
bands: Array<string>, };

/**
 * The paper that a template is printed on.
 */
export type PaperSize = "a4" | "letter";

/**
 * One line of a take-off.
 */
export type PartLine = {
/**
 * The part in words.
 */
part: string,
/**
 * Its hand, where it has one.
 */
hand: Hand | null,
/**
 * Counted from the runs.
 */
needed: number,
/**
 * Allowed for sample crimps.
 */
sample: number,
/**
 * Allowed for rejects and remakes.
 */
scrap: number,
/**
 * Allowed over.
 */
over: number,
/**
 * All together.
 */
total: number,
/**
 * What it is counted from, in words.
 */
basis: string, };

/**
 * Parts that can't be used again after a piece was taken out, by hand.
 */
export type PartsUsed = {
/**
 * Left-hand terminals.
 */
terminalsLeft?: number,
/**
 * Right-hand terminals.
 */
terminalsRight?: number,
/**
 * Left-hand inserts.
 */
insertsLeft?: number,
/**
 * Right-hand inserts.
 */
insertsRight?: number,
/**
 * Lock nuts, both hands together.
 */
lockNuts?: number, };

/**
 * One of the even passes, from where the wires stand. Where no turns are worked out, each wire is brought to the
 * pass's tension by gauge, in the same order.
 */
export type PassPlan = {
/**
 * Number of the pass.
 */
pass: number,
/**
 * What every wire is brought to.
 */
tensionN: number,
/**
 * Lowest tension expected when the pass is done, where turns are worked out.
 */
lowestN?: number,
/**
 * Highest.
 */
highestN?: number,
/**
 * The wires in the order in which they are tightened.
 */
wires: Array<PassStep>, };

/**
 * A wire in a pass.
 */
export type PassStep = {
/**
 * Number of the wire.
 */
wire: number,
/**
 * "A6".
 */
name: string,
/**
 * What to turn in this pass; none where no turns are worked out.
 */
turn?: TurnIn,
/**
 * What the wire is expected to show when the whole pass is done, where turns are worked out.
 */
afterN?: number, };

/**
 * A person who uses a device.
 */
export type Person = {
/**
 * Id.
 */
id: PersonId,
/**
 * Name as it is shown.
 */
name: string, };

/**
 * Names a person.
 */
export type PersonId = string;

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
entry: string,
/**
 * What is or was marked on a copy of it; left out where nobody marked anything.
 */
marks?: FactView, };

/**
 * How long an upload is now.
 */
export type PieceAdded = {
/**
 * Bytes taken in so far.
 */
bytes: number, };

/**
 * A piece that was cut and taken out again.
 */
export type PieceOut = {
/**
 * The wire's run.
 */
run: ItemId,
/**
 * Number of the wire.
 */
wire: number,
/**
 * Number of the piece.
 */
piece: number,
/**
 * "B3 piece 1".
 */
name: string,
/**
 * Length as it was cut.
 */
cutMm: number,
/**
 * Why it was taken out, where somebody said so.
 */
reason: string | null,
/**
 * The cause, from the trade's list.
 */
cause?: TakenOutFor,
/**
 * How many of its ends are ticked as pressed.
 */
pressedEnds: number,
/**
 * What of it is kept as an offcut.
 */
keptMm: number | null, };

/**
 * One cut of the plan.
 */
export type PlannedCut = {
/**
 * Its place in the order, from 1.
 */
number: number,
/**
 * The wire's run.
 */
run: ItemId,
/**
 * Number of the wire.
 */
wire: number,
/**
 * Number of the piece.
 */
piece: number,
/**
 * "A6", "B3 piece 2".
 */
name: string,
/**
 * The first end with its hand: "A1:LH".
 */
end: string,
/**
 * Length to cut, as released.
 */
cutMm: number,
/**
 * Shortest that works, as told with the release.
 */
shortestMm: number,
/**
 * Longest that works, as told with the release.
 */
longestMm: number,
/**
 * Whether it is the trial wire of its run.
 */
trial: boolean,
/**
 * What is left after this cut.
 */
leftMm: number, };

/**
 * One pluck.
 */
export type Pluck = {
/**
 * Number, from 1.
 */
number: number,
/**
 * What it tells by itself, newtons; no answer by itself.
 */
newtons: number | null,
/**
 * Whether it is one of those that agree.
 */
agrees: boolean,
/**
 * Why it was not read.
 */
refused: NotHeard | null, };

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
 * What the wires of a run ask of one of its end or corner posts.
 */
export type PostAsked = {
/**
 * The post.
 */
post: ItemId,
/**
 * The post as a subject.
 */
subject: Subject,
/**
 * Its name.
 */
name: string,
/**
 * End or corner.
 */
role: PostRole,
/**
 * Number of wires of this run there.
 */
wires: number,
/**
 * Tension of each.
 */
tensionN: number,
/**
 * Where that tension is from, in words.
 */
tensionOrigin: string,
/**
 * Heights of this run's wires there, from the bottom.
 */
wireHeightsMm: Array<number>,
/**
 * Height above the floor at which movement is looked at.
 */
lookedAtMm: number,
/**
 * Demand of this run alone, free first; with the rail where its stiffness is known.
 */
held: Array<PostHeld>,
/**
 * What all wires together pull off a wall that they end in, level; none of a post, whose demand stands beside.
 */
wallPullN: number | null,
/**
 * The same at a right angle, at a corner whose angle is not told: there each figure is the
 * greatest over all angles, by itself. Else empty.
 */
atRightAngle: Array<PostHeld>,
/**
 * Demand of all runs on it at once, where it carries more than this one.
 */
together: Together | null,
/**
 * How the base turns as it is stated, and what known pulls showed in the place of what was
 * assumed.
 */
pulled: Array<string>,
/**
 * The post's own figure, where its strength or grade is known.
 */
own: OwnFigure | null,
/**
 * What to ask for where its grade is told and no bending strength is known for it; none where one is.
 */
ownMissing: string | null,
/**
 * The pull on each insert.
 */
insert: InsertPull | null,
/**
 * How the rail meets it.
 */
railJoint: RailJoint | null,
/**
 * Origin of the demand figures.
 */
origin: Origin,
/**
 * Who must look at it.
 */
confirm: string,
/**
 * The warning with its figures.
 */
sentence: string,
/**
 * The figures with units and origins, as a decision would keep them.
 */
numbers: Array<Number>, };

/**
 * Demand on a post held in one way.
 */
export type PostHeld = {
/**
 * How it is held.
 */
held: Held,
/**
 * Resultant of the level parts of the pulls, newtons.
 */
levelPullN: number,
/**
 * Moment at the base, newton metres.
 */
baseMomentNm: number,
/**
 * Largest bending stress at the base, megapascals; none where the post is of metal or hollow and
 * has no wall on record.
 */
baseStressMpa: number | null,
/**
 * Whether the stress is that of a solid post since nobody told whether it is one.
 */
takenAsSolid: boolean,
/**
 * Movement at the height looked at; none where the modulus is not known.
 */
tipMm: number | null,
/**
 * Movement along each wire from the bottom, the wires of all legs in order; below zero where
 * another run pulls the post away. Empty where the modulus is not known.
 */
wiresMm: Array<number>,
/**
 * Force on the rail of this run and its joint: above zero it presses, below zero it pulls.
 */
railForceN: number | null,
/**
 * Pull on the base fixings, where the bolts' distance is known.
 */
fixingForceN: number | null,
/**
 * The two readings of base and stiffness of which each figure above is the greater: as soft as
 * it is told or pulled, by which it moves most, and as stiff as it can be, by which its base
 * carries most. Empty where there is one.
 */
byBase: Array<ByBase>,
/**
 * What the figures leave out.
 */
leftOut: Array<string>, };

/**
 * A post's progress.
 */
export type PostProgress = {
/**
 * The post.
 */
subject: Subject,
/**
 * Its name.
 */
name: string,
/**
 * What the record does not tell of it, in words.
 */
missing: Array<string>,
/**
 * Spacings that were measured as drilled.
 */
drilled: number,
/**
 * Whether people disagree on where it stands.
 */
disputed: boolean, };

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
 * What the wires of a run ask of its posts.
 */
export type PostsAsked = {
/**
 * The run.
 */
run: ItemId,
/**
 * Its name.
 */
runName: string,
/**
 * Its end and corner posts.
 */
posts: Array<PostAsked>,
/**
 * What was assumed or is missing.
 */
notes: Array<string>, };

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
 * Writes labels.
 */
export type PrintLabels = {
/**
 * The job.
 */
job: string,
/**
 * The file to write; it must not exist. Without one: `labels/` in the data folder.
 */
file?: string,
/**
 * Also wires that are cut and not fitted yet.
 */
cut?: boolean,
/**
 * The paper: A4 where nothing is said.
 */
paper?: PaperSize,
/**
 * Unit in which lengths are told.
 */
unit?: Unit, };

/**
 * What a probe did.
 */
export type ProbeResult = "stops" | "passes";

/**
 * Something that does not fit.
 */
export type Problem = {
/**
 * What sort.
 */
code: ProblemCode,
/**
 * What it is about.
 */
subject: Subject,
/**
 * One sentence.
 */
sentence: string,
/**
 * Documents and rows that its figures are from; none where it rests on the record alone.
 */
source: string | null,
/**
 * Who must confirm what such figures come to; none where it rests on the record alone.
 */
confirm: string | null, };

/**
 * What sort of thing does not fit.
 */
export type ProblemCode = "noRuleSet" | "fewAnchors" | "postOutside" | "noSlope" | "flight" | "noWires" | "heights" | "floor" | "deduction" | "noParts" | "sameName" | "modulus" | "spreader" | "neverAnAnchor" | "sameHand" | "holesAtEdge" | "holesTooDeep" | "sidesContradict" | "baysDisagree" | "offTheLine" | "namesAlike" | "positionsDisagree" | "measureMiddle" | "inches" | "unlikely" | "setAboveUpper" | "tension" | "disputed";

/**
 * How far a run has come.
 */
export type Progress = {
/**
 * The run.
 */
run: ItemId,
/**
 * Wires from the bottom.
 */
wires: Array<WireProgress>,
/**
 * Bays in order.
 */
bays: Array<BayProgress>,
/**
 * Posts in order.
 */
posts: Array<PostProgress>,
/**
 * Whether the bays' gaps all stop.
 */
gapsStop: boolean,
/**
 * What people differ on that this rests on, each in a sentence.
 */
notes: Array<string>, };

/**
 * Wires as they could be laid out.
 */
export type Proposal = {
/**
 * Spacing that it stays below, square: the table's row, or what was wanted.
 */
rowMm: number,
/**
 * Heights of the wires' middles, plumb, from the bottom, nanometres.
 */
heightsNm: Array<number>,
/**
 * Spacing, plumb.
 */
spacingMm: number,
/**
 * Spacing, square to the wires, as the table counts it.
 */
spacingSquareMm: number,
/**
 * In hand before the next row, square.
 */
inHandMm: number,
/**
 * Top wire's middle to the rail's underside, plumb, by their heights.
 */
topGapMm: number,
/**
 * Clear below the bottom wire, square.
 */
bottomClearMm: number,
/**
 * Largest opening at rest, square: below, between or above the wires, at whatever post it is.
 */
widestClearMm: number,
/**
 * Whether the rule set's sphere passes there at rest.
 */
spherePasses: boolean,
/**
 * Whether it passes between the wires, or below or above them where no post tells that gap by itself.
 */
betweenPasses: boolean,
/**
 * What the table says of the widest bay.
 */
outcome: RowOutcome,
/**
 * Least tension in the widest bay.
 */
leastTensionN: number | null,
/**
 * The next wider row.
 */
next: NextRow | null,
/**
 * What differs between copies of the document, where the cell is doubtful.
 */
doubt: string | null,
/**
 * Every bay at this spacing.
 */
bays: Array<BayAtSpacing>,
/**
 * The gap below the bottom wire, post by post; empty where floor levels are not told.
 */
floor: Array<FloorAt>,
/**
 * The same in one sentence.
 */
floorSentence: string | null,
/**
 * The gap between top wire and rail, post by post; empty where it is the same at all.
 */
rail: Array<RailAt>,
/**
 * The same in one sentence.
 */
railSentence: string | null,
/**
 * Posts that another run shares.
 */
sharedPosts: Array<SharedPost>,
/**
 * The stair's triangle, on a stair.
 */
stair: StairAt | null,
/**
 * One sentence, in the unit that was asked for; a row of a table in millimetres as well.
 */
sentence: string, };

/**
 * Another run on a post that was brought up after a wire was last read.
 */
export type PulledAfter = {
/**
 * The run.
 */
run: ItemId,
/**
 * Its name.
 */
runName: string,
/**
 * The post that carries both.
 */
post: string,
/**
 * Its wires that were brought up or turned since.
 */
wires: Array<number>,
/**
 * Whether all its wires were read at their set tension: before that it goes on being brought up.
 */
done: boolean, };

/**
 * What a length is for.
 */
export type Purpose = "quote" | "cut";

/**
 * Openings of a run under a push.
 */
export type Pushed = {
/**
 * The run.
 */
run: ItemId,
/**
 * Its name.
 */
runName: string,
/**
 * Diameter of its wire.
 */
wireMm: number | null,
/**
 * Diameter of the sphere; none where nothing tells it.
 */
sphereMm: number | null,
/**
 * Where that is from.
 */
sphereOrigin: string,
/**
 * The push.
 */
pushN: number,
/**
 * Where that is from.
 */
pushOrigin: string,
/**
 * Bay by bay.
 */
bays: Array<BayPushed>,
/**
 * Openings as built, each kind.
 */
fixed: Array<FixedOpening>,
/**
 * The bay and opening of the run that hold the sphere least, in one sentence.
 */
least: string | null,
/**
 * What the figures are for and what decides.
 */
caution: string,
/**
 * What was assumed, left out or refused.
 */
notes: Array<string>, };

/**
 * Openings of a run under a push, with each bay drawn in section.
 */
export type PushedView = {
/**
 * The figures.
 */
pushed: Pushed,
/**
 * One drawing a bay, in the same order.
 */
sections: Array<DrawingView>, };

/**
 * Puts the holes of a run's end off the middle of the face that they enter.
 */
export type PutAside = {
/**
 * The job.
 */
job: string,
/**
 * The run's id.
 */
run: string,
/**
 * The post at which it ends.
 */
post: string,
/**
 * How far off the middle; 0 puts them back to it.
 */
off: Typed,
/**
 * The side on which the other run's holes enter the post, for someone who looks at this run's:
 * theirs go to the other side.
 */
otherEnters: FaceSide,
/**
 * The person was asked about holes that are drilled already, and said yes.
 */
confirmed?: boolean, };

/**
 * A number with its unit.
 */
export type Quantity = {
/**
 * The number.
 */
value: number,
/**
 * Its unit.
 */
unit: FigureUnit, };

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
 * The gap between top wire and rail at one post.
 */
export type RailAt = {
/**
 * The post.
 */
name: string,
/**
 * Wire to rail, clear, as wires and rail are told to go; the widest that there can be where
 * nobody told.
 */
widestMm: number,
/**
 * The least that there can be; the same where both are told.
 */
leastMm: number,
/**
 * Whether the rule set's sphere passes the widest at rest.
 */
passes: boolean, };

/**
 * How a rail meets a post.
 */
export type RailJoint = "overThePost" | "butted";

/**
 * Where a recording's bytes are.
 */
export type RawSource = { "kind": "file",
/**
 * Its path.
 */
path: string, } | { "kind": "upload",
/**
 * The upload.
 */
upload: string,
/**
 * Number of its bytes.
 */
bytes: number, };

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
 * The mass as weighed, as typed: grams, or kilograms with their unit.
 */
grams: string,
/**
 * Set once for a round.
 */
round: Round,
/**
 * Set when the person was asked about an odd value and said yes.
 */
confirmed?: boolean, };

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
markHidden?: boolean,
/**
 * Whether the lock nut is tight.
 */
nutTight?: boolean,
/**
 * How far the wire's end stands out of the swage; "0" is a reading.
 */
endOut?: Typed,
/**
 * Set when the person was asked about an odd value and said yes.
 */
confirmed?: boolean, };

/**
 * Tells how far a fitted wire is out.
 */
export type ReadOutBy = {
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
 * Which way.
 */
way: OutWay,
/**
 * By how much, both ends together, the wire as tight as a hand pulls it.
 */
by: Typed,
/**
 * Set when the person was asked about an odd value and said yes.
 */
confirmed?: boolean, };

/**
 * Tells a known pull on a post.
 */
export type ReadPull = {
/**
 * The job.
 */
job: string,
/**
 * The run along which it was pulled.
 */
run: string,
/**
 * The post's id.
 */
post: string,
/**
 * The pull in newtons, as typed.
 */
newtons: string,
/**
 * Height of pull and reading above the base.
 */
at: Typed,
/**
 * How far the post moved there.
 */
moved: Typed,
/**
 * Whether the rail was on.
 */
railOn: boolean,
/**
 * The gauge or scale, where it is one of the job's tools.
 */
tool?: string,
/**
 * Entries that it corrects; none for a repeat.
 */
over?: Array<string>,
/**
 * Remark.
 */
remark?: string,
/**
 * Set when the person was asked about an odd reading and said yes.
 */
confirmed?: boolean, };

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
 * Which repeat of the reading, where a wire is read several times in one round.
 */
repeat?: number,
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
 * One reading.
 */
export type Reading = {
/**
 * The entry.
 */
entry: Hash,
/**
 * The bay, where the layout still has it.
 */
bay: Subject | null,
/**
 * The bay's name.
 */
bayName: string,
/**
 * Newtons as read, and so they are shown; none where people disagree.
 */
newtons: number | null,
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
 * Piece of strand that was read.
 */
piece: number,
/**
 * The gauge's name.
 */
gauge: string | null,
/**
 * The gauge's error as a share, as it was told then, or as its tool tells it now.
 */
gaugeError: number | null,
/**
 * When the gauge was compared and is due.
 */
gaugeDates: string | null,
/**
 * What the scale showed.
 */
raw: string | null,
/**
 * Chart that turned the scale into newtons.
 */
chart: string | null,
/**
 * Lower edge of its band, as it was told then.
 */
leastN: number | null,
/**
 * Upper edge.
 */
mostN: number | null,
/**
 * What was told to rest under it.
 */
numbers: Array<Number>,
/**
 * Its raw recordings, by hash.
 */
recordings: Array<Hash>,
/**
 * Air temperature in degrees Celsius.
 */
airC: number | null,
/**
 * Wire temperature in degrees Celsius.
 */
wireC: number | null,
/**
 * What may be of it from the temperature, where the run was left at another: said beside it and
 * taken off nothing.
 */
warmth: Warmth | null,
/**
 * Remark.
 */
remark: string | null,
/**
 * Who.
 */
by: string,
/**
 * When it was read, whatever corrected it since, milliseconds since 1970 UTC.
 */
atMs: number,
/**
 * Whether it may count against a table: gauge or hung mass.
 */
counts: boolean,
/**
 * Whether people disagree on it.
 */
disputed: boolean,
/**
 * Whether a later reading in its bay took its place, or a new piece the wire's, or the wire was
 * brought up anew since.
 */
replaced: boolean,
/**
 * Whether the wire was let out and brought up anew since: what it showed then holds no more, in
 * whatever bay.
 */
anew: boolean,
/**
 * How it stands by itself; open for sound and hung phone, which are held against nothing.
 */
state: ReadingState,
/**
 * Whether it is over what nothing may exceed, or may be for what its gauge errs; never for sound and hung
 * phone.
 */
over: boolean,
/**
 * What the wire may carry at most, newtons, where the figure itself is not over and the gauge's error may put it
 * there.
 */
mayCarryN: number | null, };

/**
 * How a reading stands against what is asked.
 */
export type ReadingState = "below" | "atTheMark" | "clear" | "open";

/**
 * What was told when a tension was read; documents print this, never a recomputation.
 */
export type ReadingTold = {
/**
 * Version of the program.
 */
program: string,
/**
 * Lower edge of the band; nothing where the reading leaves it open.
 */
leastMn?: number | null,
/**
 * Upper edge of the band.
 */
mostMn?: number | null,
/**
 * What it rests on, as text with units.
 */
numbers: Array<Number>,
/**
 * The raw recordings, by hash, kept as a document.
 */
recordings?: Array<Hash>, };

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
 * Minutes east of UTC on the clock that recorded it.
 */
offsetMin: number,
/**
 * Gauge, wire temperature and the rest, as recorded.
 */
with: TensionRead | null, };

/**
 * What a rebuild found.
 */
export type Rebuilt = {
/**
 * Hashes before.
 */
before: Array<BookHash>,
/**
 * Hashes after.
 */
after: Array<BookHash>,
/**
 * Whether they are the same.
 */
same: boolean,
/**
 * Lines of the journal that are no entries any more; `verify` names the first.
 */
unreadable: number,
/**
 * What was saved on this device and does not count any more, in words; left out where nothing.
 */
brokenOff?: string, };

/**
 * Later loss and recheck of a run.
 */
export type Recheck = {
/**
 * The run.
 */
run: ItemId,
/**
 * Its name.
 */
runName: string,
/**
 * What is missing before anything can be told; none where nothing is.
 */
missing: string | null,
/**
 * Set tension decided, of which the losses below are told.
 */
setN: number | null,
/**
 * Most that the gauge may show while no wire is above the upper tension; none where nothing is
 * required.
 */
mostSetN: number | null,
/**
 * Most that the wire which loses most is expected to lose by the first recheck, one to two weeks
 * after, at the set tension decided; rounded up to what the gauge can tell.
 */
lossN: number | null,
/**
 * The least of it: of the wire that loses least; rounded down to what the gauge can tell.
 */
lossLeastN: number | null,
/**
 * The most of it where the first recheck falls on a day 30 K warmer than that of tensioning (assumed): what
 * is read then, though what the temperature takes comes back.
 */
lossHotDayN: number | null,
/**
 * Least set tension that leaves the required one: (required + what is lost at that very
 * tension) ÷ (1 − gauge error), rounded up; none where that is more than may be set, which the
 * warnings say then.
 */
leastSetN: number | null,
/**
 * Most that it is expected to lose in all, after years, were it never turned again.
 */
lossInAllN: number | null,
/**
 * Least set tension that would leave it clear without a yearly recheck; none where that is more
 * than may be set, which `when` says then.
 */
leastSetInAllN: number | null,
/**
 * What leaves no room under the upper tension, each in one sentence.
 */
warnings: Array<string>,
/**
 * When to come back, from the last reading at the set tension, and from the newest recheck once all
 * were looked at again; none before there is one.
 */
comeBack: ComeBack | null,
/**
 * Whether all were looked at again, no sooner than about a week after: a round of the same day tells
 * nothing of what is lost by then.
 */
firstDone: boolean,
/**
 * When to come back, in words.
 */
when: string,
/**
 * Wires from the bottom.
 */
lines: Array<RecheckLine>,
/**
 * Wires outside their band, not clear of the required tension or over the upper one.
 */
toTurn: Array<number>,
/**
 * What the band is made of, with origins.
 */
madeOf: Array<Number>,
/**
 * What was assumed or left out.
 */
notes: Array<string>, };

/**
 * One wire at the recheck.
 */
export type RecheckLine = {
/**
 * Number of the wire.
 */
wire: number,
/**
 * "A6".
 */
name: string,
/**
 * What it showed when it was left, at the end of the visit before; the set tension where it was not
 * read. Once it was read again, in the bay in which it lost most.
 */
leftAtN: number,
/**
 * Whether that was read.
 */
leftRead: boolean,
/**
 * Lower end of the band, the gauge's error taken off, down to what the gauge can tell.
 */
fromN: number,
/**
 * Upper end, the gauge's error added, up to what the gauge can tell.
 */
toN: number,
/**
 * What it shows now, by the recheck and by what was read after it; none where people differ.
 */
readN: number | null,
/**
 * The bay in which it lost most, of those that were read then and now: the band is of that bay.
 */
bay: string | null,
/**
 * What it shows there now.
 */
thereN: number | null,
/**
 * What it had come down to there when it was looked at, where it was brought up again since.
 */
foundN: number | null,
/**
 * Whether that was below the band: it lost more than expected, whatever it was brought to.
 */
fellBelow: boolean,
/**
 * The highest reading that stands over the upper tension; none where none is.
 */
overN: number | null,
/**
 * How it stands against the band.
 */
band: BandState,
/**
 * How it stands against the required tension.
 */
state: ReadingState,
/**
 * What brings it alone back to the set tension, out where it is over the upper one; none where it
 * stands.
 */
turn: TurnIn | null,
/**
 * The same where all that are named are brought back and give way together.
 */
turnTogether: TurnIn | null,
/**
 * What to do, in one sentence; none where it stands.
 */
sentence: string | null, };

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
created?: string,
/**
 * Why the others do not see it yet, in words; left out where it counts.
 */
notCounting?: string,
/**
 * What the person is to know of what was kept, each a sentence; left out where there is nothing.
 */
remarks?: Array<string>, };

/**
 * Reels beside their bound.
 */
export type ReelsCounted = {
/**
 * Whether reels to order are counted, else reels that are cut from.
 */
toOrder: boolean,
/**
 * How many the plan takes.
 */
planned: number,
/**
 * No plan takes fewer.
 */
atLeast: number,
/**
 * Whether the two are equal and every wire is covered.
 */
leastPossible: boolean, };

/**
 * Why a wire can't be cut.
 */
export type Refusal = {
/**
 * Code.
 */
code: RefusalCode,
/**
 * One sentence that says what to do.
 */
sentence: string, };

/**
 * Why a wire can't be cut, as a caller may act on it.
 */
export type RefusalCode = "notMeasured" | "quoteOnly" | "tooEarly" | "disputed" | "newer" | "restsOnRefused" | "partsMissing" | "noSlope" | "noTension" | "tensionsDisputed" | "noWindow" | "onSite" | "noAnchor" | "badFigure";

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
reason: string,
/**
 * The cause, from the trade's list.
 */
cause?: TakenOutFor,
/**
 * Parts that can't be used again.
 */
used?: PartsUsed, };

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
 * The highest least tension of the bays that have a figure.
 */
export type Required = {
/**
 * Newtons.
 */
newtons: number,
/**
 * The bay that sets it.
 */
bay: string,
/**
 * Document, row and clause in words.
 */
origin: string, };

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
 * What a table says of a bay.
 */
export type RowOutcome = "figure" | "notAllowed" | "outside";

/**
 * One figure to change.
 */
export type RuleChange = {
/**
 * Where it stands, as [`RuleFigure::path`] has it.
 */
path: string,
/**
 * What shall stand there, in millimetres.
 */
value: number, };

/**
 * A rule set that a job could stand under.
 */
export type RuleChoice = {
/**
 * Name in the program's library, or the id of the crew's own set: what `useRuleSet` takes.
 */
name: string,
/**
 * Its title.
 */
title: string,
/**
 * Where it is in force.
 */
jurisdiction: string,
/**
 * Country, two capital letters; none where a set names none.
 */
country: string | null,
/**
 * Its edition, as the document names it.
 */
edition: string,
/**
 * First day on which it counts; none where that is not known.
 */
firstDay: string | null,
/**
 * How it stands to the permit's date.
 */
fit: RuleFit,
/**
 * The same in one sentence.
 */
sentence: string,
/**
 * That people changed or wrote it, with who and why; none where it came with the program.
 */
changed: string | null,
/**
 * What it warns of without a figure: to be asked before anything is laid out.
 */
warnings: Array<string>,
/**
 * Whether any figure of it was not read in the document itself.
 */
notRead: boolean, };

/**
 * A figure of a rule set that a screen may change.
 */
export type RuleFigure = {
/**
 * Where it stands, as a JSON pointer.
 */
path: string,
/**
 * What it is, in words.
 */
what: string,
/**
 * The figure, millimetres.
 */
mm: number,
/**
 * Clause that it is from.
 */
clause: string,
/**
 * How it came to be known: `read`, `secondHand`, `memory`, `commonPractice`, `own`.
 */
status: string, };

/**
 * The figures of a rule set, and its file.
 */
export type RuleFigures = {
/**
 * The file.
 */
file: RuleSetFile,
/**
 * Figures that can be changed one by one; cells of tables are changed in the file.
 */
figures: Array<RuleFigure>, };

/**
 * How a rule set stands to a job's permit.
 */
export type RuleFit = "inForce" | "notKnown" | "replaced" | "notYet";

/**
 * A rule set as the program brings it.
 */
export type RuleSetFile = {
/**
 * Short name, the file's.
 */
name: string,
/**
 * Title.
 */
title: string,
/**
 * Document that the figures are from.
 */
document: string,
/**
 * Its edition.
 */
edition: string,
/**
 * Whose text it is, and its licence.
 */
attribution: string,
/**
 * The file's exact text.
 */
text: string,
/**
 * SHA-256 of the text.
 */
sha256: Hash, };

/**
 * Where an own rule set comes from.
 */
export type RuleSetFrom = { "kind": "file",
/**
 * The text.
 */
text: string, } | { "kind": "changes",
/**
 * Name in the program's library, or the id of the crew's own set.
 */
name: string,
/**
 * Its new title; that of the other one with "(changed)" where empty.
 */
title?: string,
/**
 * The figures.
 */
changes: Array<RuleChange>, };

/**
 * Which rule set was held against the run.
 */
export type RuleSetNote = {
/**
 * Short name.
 */
name: string,
/**
 * Title.
 */
title: string,
/**
 * Document.
 */
document: string,
/**
 * Edition.
 */
edition: string,
/**
 * Whose text, and its licence.
 */
attribution: string,
/**
 * To be shown with the findings.
 */
caution: string,
/**
 * Who must confirm.
 */
confirm: string,
/**
 * Hash of the job's copy.
 */
sha256: Hash,
/**
 * That people changed or wrote the set, with who and why; none where it came with the program.
 */
changed: string | null,
/**
 * That the edition did not count on the permit's day; none where it did or nobody knows.
 */
outOfDate: string | null, };

/**
 * Rule sets for a job.
 */
export type RuleSetsFor = {
/**
 * Day of the permit, where it is told.
 */
permit: string | null,
/**
 * What could be chosen, by country, the best fit first.
 */
choices: Array<RuleChoice>,
/**
 * The job's own copy: how it stands to the permit; none where none is chosen.
 */
standing: RuleChoice | null,
/**
 * What a person asks before a run of level wires is begun, by that copy; empty where none is chosen.
 */
askFirst: Array<string>, };

/**
 * Asks how rule sets stand to the permit of a job that is still to be begun.
 */
export type RuleSetsOn = {
/**
 * Day of the permit, `2026-09-02`; left out where it is not known.
 */
permit?: string, };

/**
 * What the rule set says in words and asks of no figure of the run.
 */
export type RuleWords = {
/**
 * One sentence.
 */
text: string,
/**
 * Where it is from.
 */
source: Source, };

/**
 * Tension readings of a run.
 */
export type RunTensions = {
/**
 * The run.
 */
run: ItemId,
/**
 * Its name.
 */
runName: string,
/**
 * Required tension decided for the run.
 */
requiredN: number | null,
/**
 * What the rule set's table asks of the bays that have a figure: readings are held against the
 * greater of the two.
 */
askedN: number | null,
/**
 * What every wire has to show at least: the greater of the two; none before anything is decided.
 */
mustShowN: number | null,
/**
 * Bays that the table has no figure for: no reading answers for them.
 */
openBays: Array<OpenBay>,
/**
 * Set tension decided.
 */
setN: number | null,
/**
 * Upper tension decided.
 */
upperN: number | null,
/**
 * What nothing may exceed: the lesser of that and of the least limit that is known.
 */
neverAboveN: number | null,
/**
 * The most that the gauge may show without its wire being over that, for what it errs; what was decided to be
 * set may be shown. None where nothing is known.
 */
mostShownN: number | null,
/**
 * What is missing before anybody knows how much the wires may carry, and what to do: a reading
 * that is clear of the required tension is not held against it; none where nothing is.
 */
upperMissing: string | null,
/**
 * Passes decided.
 */
passesN: Array<number>,
/**
 * Least reading that is clear of the required one on the gauge that is counted.
 */
clearFromN: number | null,
/**
 * The same for each tension gauge of the job.
 */
gauges: Array<GaugeClear>,
/**
 * The gauge that is counted.
 */
gauge: GaugeNote | null,
/**
 * What a ruler is expected to show under the hung mass, bay by bay.
 */
expectedDown: Array<ExpectedDown>,
/**
 * Bays to read: the widest, and the one furthest from the tensioner.
 */
toRead: Array<string>,
/**
 * One line a wire.
 */
lines: Array<TensionLine>,
/**
 * Lowest governing reading of the run.
 */
lowest: Reading | null,
/**
 * Wire of that reading.
 */
lowestWire: number | null,
/**
 * What was assumed or left out.
 */
notes: Array<string>, };

/**
 * A run.
 */
export type RunView = { subject: string, id: string, name: string, surface: Surface | null, shape: Shape, heightMm: number | null, slope: Slope | null, rail: Rail | null, strand: string | null, fittingSet: string | null, lining: Lining, trialWire: number,
/**
 * Kinds of its two ends as they are counted: told, else as the fitting set has them.
 */
endKinds: [EndKind, EndKind] | null, tensions: Tensions | null,
/**
 * What the tensions were decided on was replaced or is disputed since.
 */
tensionsMoved: boolean, posts: Array<PostView>, bays: Array<BayView>,
/**
 * What bays and posts between the ends add up to along the wires, mm; none where one is not told.
 */
betweenMm: number | null, wires: Array<WireView>, };

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
 * When, milliseconds since 1970 UTC.
 */
atMs: number,
/**
 * Minutes east of UTC on the clock that recorded it.
 */
offsetMin: number,
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
claims: Array<OneClaim>,
/**
 * Set when the person was asked about an odd value and said yes.
 */
confirmed?: boolean, };

/**
 * Throws strand away.
 */
export type ScrapStrand = {
/**
 * The job.
 */
job: string,
/**
 * The reel or offcut, as the plan names it.
 */
stock: string,
/**
 * How much; without it all that is left.
 */
length?: Typed,
/**
 * Why.
 */
reason: string, };

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
 * Wall thickness of a hollow section; none when solid, or where nobody told.
 */
wallNm?: number | null,
/**
 * Whether it is solid; none where a wall or its timber says so, or nobody told.
 */
solid?: boolean | null, };

/**
 * A length to cut as a person saw it.
 */
export type SeenCut = {
/**
 * Number of the wire.
 */
wire: number,
/**
 * What the sheet said to cut, in mm.
 */
aimMm: number, };

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
 * Required, set and upper tension, and the passes: the usual ones where none are told. An origin
 * that is given stands beside what the job gives, and counts for nothing where the figure is the
 * job's own.
 */
tensions: Tensions,
/**
 * The figures as they were typed, with their units.
 */
entered?: string,
/**
 * Set when the person was asked about a figure below the table or above a limit and said yes.
 */
confirmed?: boolean, };

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
 * What was found in order, and what is there without being checked.
 */
export type SharedLookedOver = {
/**
 * Devices of the crew whose logs were read.
 */
devices: number,
/**
 * Segments whose header, number, chain and lines are right.
 */
segments: number,
/**
 * Entries in them.
 */
entries: number,
/**
 * Books that they belong to, the crew's own among them.
 */
books: number,
/**
 * Entries that do not count, with the reason.
 */
notCounting: Array<string>,
/**
 * Segments written by a newer version, of which only name and bytes were checked.
 */
newer: number,
/**
 * Damaged segments, pictures and documents whose content lies whole in a second file.
 */
repaired: number,
/**
 * Devices with two branches under the same numbers; both count.
 */
forked: Array<DeviceId>,
/**
 * Pictures and documents whose bytes are right.
 */
objects: number,
/**
 * Their bytes.
 */
objectBytes: number,
/**
 * Pictures and documents that entries vouch for and that have not arrived.
 */
awaited: number,
/**
 * Pictures and documents that no entry vouches for.
 */
unvouched: number,
/**
 * Devices that were not admitted, and how many segments they have there.
 */
strangers: number,
/**
 * Segments of those devices, none of them read.
 */
strangersSegments: number,
/**
 * Files that are still being written.
 */
unfinished: number,
/**
 * How many, all in all.
 */
unknown: number,
/**
 * How many of them services and desktops put there by themselves.
 */
services: number,
/**
 * Paths of those that no service puts there by itself: the first twenty by name, fit to be shown.
 */
strange: Array<string>, };

/**
 * Two runs in one post.
 */
export type SharedPost = {
/**
 * The post.
 */
post: string,
/**
 * Its id.
 */
postId: ItemId,
/**
 * The run that stays as it is.
 */
stays: string,
/**
 * Pairs of holes that come too close.
 */
close: number,
/**
 * Wood kept between holes: a remark, not a rule.
 */
woodMm: number,
/**
 * Least way up for this run that clears them; none where no way does.
 */
upMm: number | null,
/**
 * Least way down.
 */
downMm: number | null,
/**
 * How far off the middle of their face this run's holes clear them as high as they are, away from
 * the other run's; told where no way up or down does, or where it is shorter.
 */
asideMm: number | null,
/**
 * One sentence.
 */
sentence: string, };

/**
 * One figure of a sheet.
 */
export type SheetFigure = {
/**
 * The figure, in the whole unit that its name ends with.
 */
n: number,
/**
 * Sheet and page, or who measured it how.
 */
origin: string, };

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
 * One person's word in a dispute.
 */
export type Side = {
/**
 * The entry.
 */
entry: Hash,
/**
 * The value with its unit; "withdrawn" where it is nothing.
 */
value: string,
/**
 * How it came about, in words.
 */
how: string,
/**
 * The person's name.
 */
personName: string,
/**
 * The person.
 */
person: PersonId,
/**
 * The device.
 */
device: DeviceId,
/**
 * Name of the device: its first person's, or a short form of its id.
 */
deviceName: string,
/**
 * When, milliseconds since 1970 UTC.
 */
atMs: number,
/**
 * Minutes east of UTC there.
 */
offsetMin: number,
/**
 * The device's clock was doubtful.
 */
timeSuspect: boolean, };

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
 * When, milliseconds since 1970 UTC.
 */
atMs: number,
/**
 * Minutes east of UTC on the clock that recorded it.
 */
offsetMin: number,
/**
 * Entries recorded since that it does not cover.
 */
since: number,
/**
 * What it was signed on was replaced or is disputed since.
 */
moved: boolean,
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
risers?: number | null,
/**
 * How far a tread stands out over the riser below it; none where nobody told.
 */
overhangNm?: number, };

/**
 * Document, edition and clause of a figure.
 */
export type Source = {
/**
 * The document.
 */
document: string,
/**
 * Its edition.
 */
edition: string,
/**
 * Clause, table or figure.
 */
clause: string,
/**
 * How it came to be known here.
 */
status: SourceStatus, };

/**
 * How a published figure came to be known here.
 */
export type SourceStatus = "read" | "secondHand" | "memory" | "commonPractice" | "own";

/**
 * How a wire is held at the ends of the span that sounds or swings.
 */
export type SpanHeld = "pinched" | "sleeved" | "loose";

/**
 * Pieces beyond what the layout needs, each with its purpose.
 */
export type Spare = {
/**
 * For sample crimps, each hand.
 */
sample: number,
/**
 * For rejects and remakes, each hand.
 */
scrap: number,
/**
 * Over, each hand.
 */
over: number, };

/**
 * Pass or stage of a tension reading.
 */
export type Stage = "pass" | "final" | "recheck";

/**
 * Two holes of one post that come close.
 */
export type Stagger = {
/**
 * The post.
 */
post: Subject,
/**
 * First hole.
 */
first: string,
/**
 * Second hole.
 */
second: string,
/**
 * Least wood between them, taken along one axis; below zero where they can meet.
 */
woodMm: number,
/**
 * Whether both are there by the record: told as drilled, or with their wires fitted.
 */
made: boolean,
/**
 * One sentence.
 */
sentence: string, };

/**
 * The triangle of tread, riser and bottom wire.
 */
export type StairAt = {
/**
 * Largest sphere that passes at rest.
 */
sphereMm: number,
/**
 * Clear above the line of the nosings, square.
 */
aboveNosingsMm: number,
/**
 * The sphere that the rule set names for the triangle; none where it names none.
 */
ruleSphereMm: number | null,
/**
 * Whether that sphere passes at rest.
 */
passes: boolean,
/**
 * The bottom wire's middle must stand below this, plumb above the nosings; none where nothing
 * keeps the sphere out, or the rule set names none.
 */
belowMm: number | null,
/**
 * One sentence.
 */
sentence: string, };

/**
 * Starts an exchange.
 */
export type StartSync = {
/**
 * Also lists and reads what lies there already, and writes again what was damaged there; it
 * takes as long as reading all of it takes.
 */
everything?: boolean, };

/**
 * Starts looking something over.
 */
export type StartVerify = {
/**
 * What.
 */
what: VerifyWhat,
/**
 * The folder; needed for a handover. A shared folder is the current crew's without one.
 */
folder?: string,
/**
 * For a handover, the founding entry of the crew that it must be of: 64 hex digits.
 */
crew?: string, };

/**
 * A moment by the recording device's clock.
 */
export type StateAt = {
/**
 * Milliseconds since 1970 UTC.
 */
ms: number,
/**
 * Minutes east of UTC.
 */
offsetMin: number,
/**
 * Orders what has the same milliseconds.
 */
count: number,
/**
 * Whether the clock was in doubt.
 */
suspect: boolean, };

/**
 * The newest entry of a device that counts.
 */
export type StateHead = {
/**
 * The device.
 */
device: DeviceId,
/**
 * The entry's number.
 */
n: number,
/**
 * Its hash.
 */
hash: Hash, };

/**
 * A key: subject, field, place.
 */
export type StateKey = {
/**
 * The subject.
 */
subject: string,
/**
 * The field.
 */
field: string,
/**
 * The place within the field.
 */
place: string,
/**
 * Its lines; one where the field has a single value.
 */
lines: Array<StateLine>,
/**
 * Entries of a newer version that change it.
 */
newer: Array<Hash>, };

/**
 * An entry that can't come to count.
 */
export type StateLeft = {
/**
 * The entry.
 */
entry: Hash,
/**
 * Why, as a word of its own: `afterEnd`, `notListed`, `otherCrew`.
 */
why: string, };

/**
 * Claims that are joined by what they replace.
 */
export type StateLine = {
/**
 * Whether its tips agree.
 */
standing: "agreed" | "withdrawn" | "disputed",
/**
 * Number of its claims.
 */
claims: number,
/**
 * Claims that nothing replaces.
 */
tips: Array<StateTip>, };

/**
 * A device of the crew.
 */
export type StateMember = {
/**
 * The device.
 */
device: DeviceId,
/**
 * What it is mostly used for.
 */
role: Role,
/**
 * May admit and end others.
 */
keeper: boolean,
/**
 * Whether it was ended.
 */
ended: boolean,
/**
 * Its persons.
 */
persons: Array<Person>, };

/**
 * A claim that nothing replaces.
 */
export type StateTip = {
/**
 * Its entry.
 */
entry: Hash,
/**
 * Its value, as the field's type has it; null withdraws.
 */
value: any,
/**
 * How it was read, as the field's type has it.
 */
with?: any,
/**
 * Who said it.
 */
person: PersonId,
/**
 * The device that recorded it.
 */
device: DeviceId,
/**
 * When.
 */
at: StateAt, };

/**
 * The state of a job, and its hash.
 */
export type StateView = {
/**
 * SHA-256 over the sorted projection rows.
 */
hash: string,
/**
 * The whole job: claims, lines, disputes, decisions, admissions; sorted, integers only.
 */
state: JobState, };

/**
 * One value of it.
 */
export type StillSaid = {
/**
 * The field.
 */
field: string,
/**
 * The field in the trade's words.
 */
fieldName: string,
/**
 * The place within the field in words; empty where there is none.
 */
placeName: string,
/**
 * The words that stand, oldest first; several where people differ.
 */
sides: Array<Side>, };

/**
 * What a reel or offcut has left after the plan.
 */
export type StockAfter = {
/**
 * The reel or offcut; none where it has still to be ordered.
 */
stock: string | null,
/**
 * Its name.
 */
name: string,
/**
 * What it has before the plan.
 */
beforeMm: number,
/**
 * What is left.
 */
leftMm: number,
/**
 * Whether what is left is shorter than the least usable length.
 */
scrap: boolean, };

/**
 * A piece that was cut from a reel or offcut.
 */
export type StockCut = {
/**
 * "A6", "A6 piece 2".
 */
name: string,
/**
 * Length as cut.
 */
cutMm: number,
/**
 * Whether that piece was taken out again.
 */
takenOut: boolean, };

/**
 * A reel or offcut.
 */
export type StockItem = {
/**
 * `batch:<id>`, or `wire:<run>:<number>/<piece>` for what is kept of a piece.
 */
id: string,
/**
 * Its name, unlike that of any other.
 */
name: string,
/**
 * The delivery that it is of, where known.
 */
batch: ItemId | null,
/**
 * Which strand it is; none where the job has none or it can't be told.
 */
strand: ItemId | null,
/**
 * Reel or offcut.
 */
kind: StockKind,
/**
 * Length as it came.
 */
lengthMm: number | null,
/**
 * Pieces cut from it.
 */
cuts: Array<StockCut>,
/**
 * Their lengths together.
 */
cutMm: number,
/**
 * Lost to kerfs and trimming.
 */
lostMm: number,
/**
 * Thrown away uncut.
 */
scrappedMm: number,
/**
 * What is left.
 */
leftMm: number,
/**
 * What it is good for now.
 */
state: StockState,
/**
 * Why it can't be planned from, or what about it can't be right.
 */
problem: string | null, };

/**
 * What strand is cut from.
 */
export type StockKind = "offcut" | "reel";

/**
 * What a reel or offcut is good for now.
 */
export type StockState = "whole" | "started" | "usedUp" | "scrap" | "notCome" | "wrong" | "notKnown";

/**
 * A strand's mechanical figures, each with its origin.
 */
export type StrandFigures = {
/**
 * Construction: `1x19`, `7x7`, `7x19`.
 */
construction: string,
/**
 * Nominal diameter.
 */
diameterNm: number,
/**
 * Where the diameter is from, where it was told.
 */
diameterOrigin?: string | null,
/**
 * Axial stiffness EA.
 */
eaMn: number,
/**
 * Where EA is from.
 */
eaOrigin: string,
/**
 * Breaking load, where known.
 */
breakingMn?: number | null,
/**
 * Where the breaking load is from.
 */
breakingOrigin?: string | null,
/**
 * Permanent stretch in parts per million.
 */
stretchPpm: number,
/**
 * Where the stretch is from.
 */
stretchOrigin: string,
/**
 * Steel grade.
 */
grade?: string | null, };

/**
 * Strand to order.
 */
export type StrandMetres = {
/**
 * The strand's name.
 */
name: string,
/**
 * Number of wires.
 */
wires: number,
/**
 * Sum of the cuts.
 */
cutsMm: number,
/**
 * What the cuts rest on; the weakest where wires differ.
 */
cutsFrom: CutsFrom,
/**
 * Allowed for samples; stated once, with the first strand.
 */
sampleMm: number,
/**
 * Allowed for remakes; stated once, with the first strand.
 */
scrapMm: number,
/**
 * All together.
 */
totalMm: number, };

/**
 * The plan of one strand.
 */
export type StrandPlan = {
/**
 * The strand; none where no run has one yet.
 */
strand: ItemId | null,
/**
 * Its name.
 */
name: string,
/**
 * Trial wires first, then stock by stock.
 */
groups: Array<CutGroup>,
/**
 * Wires for which no reel or offcut is left or long enough.
 */
noStock: Array<NoStock>,
/**
 * Reels and offcuts of the plan with what is left, the longest leftover last.
 */
after: Array<StockAfter>,
/**
 * Leftovers that are kept, together.
 */
keptMm: number,
/**
 * Leftovers that are scrap, together.
 */
scrapMm: number,
/**
 * Reels beside their bound; none where nothing is planned.
 */
reels: ReelsCounted | null,
/**
 * The plan in one sentence, and what has not come where strand is short; empty where neither is.
 */
sentence: string,
/**
 * Why nothing can be planned, and what to do.
 */
problem: string | null,
/**
 * Length of the wires that are not ready yet, where the cut sheet has one.
 */
notReadyMm: number, };

/**
 * A strand as its maker's sheet tells it.
 */
export type StrandSheet = {
/**
 * Construction: `1x19`, `7x7`, `7x19`.
 */
construction: string,
/**
 * Steel grade.
 */
grade?: string | null,
/**
 * `diameterNm`, `eaMn`, `breakingMn`, `stretchPpm`.
 */
figures: { [key in string]: SheetFigure }, };

/**
 * A strand to start from.
 */
export type StrandTemplate = {
/**
 * Short name.
 */
key: string,
/**
 * Name as a job shows it.
 */
name: string,
/**
 * Its figures, each with its origin.
 */
figures: StrandFigures, };

/**
 * A device that was not admitted.
 */
export type Stranger = {
/**
 * Its id.
 */
device: string,
/**
 * Whether its card is there, so that it can be admitted.
 */
hasCard: boolean,
/**
 * Segments counted, none of them read.
 */
segments: number, };

/**
 * What an entry is about.
 */
export type Subject = string;

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
 * How many things of each part were recorded.
 */
export type SurveyCounts = {
/**
 * Facts of the job and its site.
 */
job: number,
/**
 * Tools.
 */
tools: number,
/**
 * Strands copied from the library.
 */
strands: number,
/**
 * Fitting sets copied from the library.
 */
fittingSets: number,
/**
 * Runs, new or changed.
 */
runs: number,
/**
 * Posts, new or changed.
 */
posts: number,
/**
 * Places of posts in runs.
 */
postsInRuns: number,
/**
 * Bays read.
 */
bays: number,
/**
 * Inside-to-inside lengths read.
 */
lengths: number,
/**
 * Runs whose tensions were decided.
 */
tensions: number, };

/**
 * What became of the part of the file that a problem is about.
 */
export type SurveyOutcome = "refused" | "questioned" | "ignored" | "noted";

/**
 * One thing that is wrong or odd.
 */
export type SurveyProblem = {
/**
 * Where in the file: `runs[0].posts[2].position`, or `line 3, length`.
 */
path: string,
/**
 * What became of it.
 */
outcome: SurveyOutcome,
/**
 * What is wrong and what to do.
 */
message: string, };

/**
 * The outcome of one exchange.
 */
export type SyncReport = {
/**
 * What was written into the folder.
 */
published: Moved,
/**
 * What was taken in from it.
 */
fetched: Moved,
/**
 * Entries that are new on this device.
 */
newEntries: number,
/**
 * Own segments and files that are not in the folder yet.
 */
unshared: Moved,
/**
 * Whether everything made on this device lies in the folder.
 */
shared: boolean,
/**
 * Segments of books that this device does not keep.
 */
passedOver: number,
/**
 * Devices in the folder that nobody admitted, and how many segments each has there.
 */
strangers: Array<Stranger>,
/**
 * What is expected and not all there yet.
 */
waiting: Array<Waiting>,
/**
 * What somebody saw of the crew's books and is not here, or is another here.
 */
notHere: Array<NotHere>,
/**
 * What is there and can't be used.
 */
aside: Array<Aside>,
/**
 * What could not be done this time.
 */
faults: Array<Fault>,
/**
 * Whether this device wrote before it had read its own log, and needs a new identity.
 */
forked: boolean,
/**
 * Whether it was stopped before its end.
 */
cancelled: boolean,
/**
 * How many, all in all.
 */
unknown: number,
/**
 * How many of them services and desktops put there by themselves.
 */
services: number,
/**
 * Paths of those that no service puts there by itself: the first twenty by name, fit to be shown.
 */
strange: Array<string>, };

/**
 * Takes a proposal.
 */
export type TakeLayout = {
/**
 * The job.
 */
job: string,
/**
 * The run's id.
 */
run: string,
/**
 * What was asked for.
 */
wishes?: LayoutWishes,
/**
 * The heights that the person saw, from the bottom, nanometres; where none of the proposals has
 * them any more nothing is taken, and the answer is `changed`.
 */
heightsNm: Array<number>,
/**
 * The person was asked about wires that were measured or cut already, or a rail that is not the recorded
 * one, and said yes.
 */
confirmed?: boolean, };

/**
 * The take-off of a job.
 */
export type TakeOff = {
/**
 * Wires of all runs.
 */
wires: number,
/**
 * Parts, each hand apart.
 */
lines: Array<PartLine>,
/**
 * Strands, each with its metres.
 */
strands: Array<StrandMetres>,
/**
 * Holes for inserts.
 */
insertHoles: number,
/**
 * Holes through intermediate posts.
 */
throughHoles: number,
/**
 * Allowances as they stand; none where nobody stated any.
 */
allowances: Allowances | null,
/**
 * What was assumed or left out.
 */
notes: Array<string>, };

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
 * Why a piece of strand was taken out.
 */
export type TakenOutFor = "galled" | "wrongHand" | "kinked" | "terminalRejected" | "cutWrong" | "other";

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
 * What the cut sheet says of the trial wires that were read.
 */
export type Taught = {
/**
 * Wires that were read, by name: "A6"; "A6 piece 1" of a piece that was taken out.
 */
from: string,
/**
 * What they teach, in one sentence.
 */
sentence: string,
/**
 * Readings that can hardly be right, and wires whose tension was not read before their thread,
 * each with what to do.
 */
questions: Array<string>,
/**
 * The readings' figures, as a release keeps them.
 */
told: string,
/**
 * Claims that this rests on.
 */
basis: Array<Hash>, };

/**
 * A template that was written.
 */
export type TemplateWritten = {
/**
 * The file.
 */
file: string,
/**
 * Its pages.
 */
pages: number,
/**
 * Post faces, those that are drilled alike together.
 */
faces: Array<string>,
/**
 * Posts that are on no sheet, since the paper does not hold their holes: why, and what to do.
 */
leftOut: Array<string>,
/**
 * Its size.
 */
bytes: number, };

/**
 * One wire's readings.
 */
export type TensionLine = {
/**
 * Number from the bottom.
 */
wire: number,
/**
 * The wire.
 */
subject: Subject,
/**
 * "A6".
 */
name: string,
/**
 * Piece of strand.
 */
piece: number,
/**
 * All readings, oldest first; those of earlier pieces too.
 */
readings: Array<Reading>,
/**
 * The reading that governs: the lowest of those that stand, over all bays. Passes on the way up
 * stand only until the set tension was read.
 */
governing: Reading | null,
/**
 * The least that anybody tells of the readings that stand: the governing one where people agree.
 */
leastN: number | null,
/**
 * Lowest bay of the newest pass.
 */
lastPass: Reading | null,
/**
 * Lowest bay of the readings at the set tension, before any recheck: the final round and the
 * last of the passes that were decided.
 */
lastFinal: Reading | null,
/**
 * Lowest bay of what was read when the run was looked at again: the recheck, and what was read
 * after it.
 */
lastRecheck: Reading | null,
/**
 * Whether it showed its set tension when it was read last, or nearly: a trial wire's thread is read there.
 */
atTension: boolean,
/**
 * The bay in which it lost most since it was left, of those that were read then and now.
 */
compared: Compared | null,
/**
 * Whether it was looked at again at least a week after it was last brought to its set tension: before
 * that nothing is told of what is lost.
 */
rechecked: boolean,
/**
 * When it was last brought to its set tension before that, by gauge or mass, milliseconds since 1970
 * UTC.
 */
leftMs: number | null,
/**
 * When it was looked at last, by gauge or mass.
 */
lookedMs: number | null,
/**
 * How the wire stands.
 */
state: ReadingState,
/**
 * Widest bay and bay furthest from the tensioner that were not read in the newest round.
 */
notRead: Array<string>,
/**
 * The round in which the hung mass was within the document's table in every bay to read: the
 * other way to show the same, for a crew without a gauge.
 */
heldByDeflection: Stage | null,
/**
 * Entries of the masses under which it stands further down than the document's table lets it.
 */
sags: Array<Hash>,
/**
 * Wires of the run that were turned, or found far lower, after this one was last read at its set tension or in a recheck, as
 * was told or as what they showed since tells: it is to be read again. This one itself where it was read in a lower pass on another device, and
 * nothing tells which of the two came last.
 */
turnedAfter: Array<number>,
/**
 * What it is computed to stand at since others were brought up, let out or taken out, where twice as much as that
 * is off from what it showed by more than the gauge can tell, below what it has to show, or over what nothing may
 * exceed: it is to be read again, whether or not anybody told turns.
 */
standsN: number | null,
/**
 * What it is computed to show at the least in all its bays, where it was turned after what governs it was read: it
 * was read in another bay or another round alone. None where what governs it was read since.
 */
broughtN: number | null,
/**
 * Whether that turning brought it to where nothing more is to be turned before the bay that still governs it is
 * read: clear of what is required, or, where that bay was over what nothing may exceed, below that again.
 */
readThere: boolean,
/**
 * Other runs on one of its posts that were brought up since then: it is to be read again once they
 * are.
 */
pulledAfter: Array<PulledAfter>,
/**
 * Deflections under a hung mass.
 */
deflections: Array<DeflectionCheck>, };

/**
 * The three tensions of a run with what they rest on.
 */
export type TensionPlan = {
/**
 * What the rule set asks: the highest of the bays that have a figure; a floor and no more
 * while bays are open.
 */
required: Required | null,
/**
 * What every wire has to show at least: the greater of that and of what was decided.
 */
mustShowN: number | null,
/**
 * Bays that the rule set's table has no figure for: no tension answers for them.
 */
openBays: Array<OpenBay>,
/**
 * Facts that the tensions rest on and that people disagree on, each in a sentence.
 */
unsettled: Array<string>,
/**
 * Least of the limits below, rounded down to what the gauge can tell; none while the strand's
 * breaking load is not told.
 */
upperN: number | null,
/**
 * The same without rounding.
 */
upperExactN: number | null,
/**
 * Where the upper tension is from, in words.
 */
upperOrigin: string,
/**
 * Whether the strand's breaking load stands without efficiency or factor, with nothing in hand:
 * a ceiling, and no figure to decide on.
 */
upperBare: boolean,
/**
 * What is missing before the upper tension is known, and what to do; none where nothing is.
 */
upperMissing: string | null,
/**
 * The least of the limits that are known, whatever is missing, in whole newtons: nothing may exceed
 * it.
 */
ceilingN: number | null,
/**
 * All limits that are known, least first.
 */
parts: Array<UpperPart>,
/**
 * Limits that nobody has stated.
 */
notKnown: Array<string>,
/**
 * What the planned tension asks of the threads at the ends, while nobody stated what they may carry;
 * empty where somebody did, where nothing is planned, and where no fitting set tells its terminals.
 */
threadsAsked: Array<ThreadAsked>,
/**
 * The gauge; the least exact one where there are several.
 */
gauge: GaugeNote | null,
/**
 * Room between what a wire has to show and the lesser of the upper tension decided and the least
 * known limit; none while there is neither a decision nor the strand's breaking load.
 */
room: TensionRoom | null,
/**
 * Most that the wire which loses most is expected to lose by the first recheck; none while the
 * tensions are not decided or no wire can be cut, so that it can't be told.
 */
laterLossN: number | null,
/**
 * Most that it is expected to lose in all, after years, were it never turned again.
 */
laterLossInAllN: number | null,
/**
 * Least set tension: (required + what is lost at that very tension by the first recheck) over
 * what the gauge may err, rounded up; the loss counted where it can be told, and none where that
 * is more than may be set.
 */
leastSetN: number | null,
/**
 * That tension, where it lies in the room; none while the figures do not stand or leave none.
 */
suggestedN: number | null,
/**
 * Why that one, or why none.
 */
suggestion: string,
/**
 * The usual passes to the tension suggested, else to the one decided.
 */
usualPassesN: Array<number>,
/**
 * Required tension as decided for the run, where it is.
 */
decidedRequiredN: number | null,
/**
 * What was stated as its origin, where it was typed.
 */
decidedRequiredFrom: string | null,
/**
 * Set tension as decided.
 */
decidedSetN: number | null,
/**
 * Upper tension as decided.
 */
decidedUpperN: number | null,
/**
 * What was stated as its origin, where it was typed.
 */
decidedUpperFrom: string | null,
/**
 * Passes as decided.
 */
decidedPassesN: Array<number>,
/**
 * What the temperature does, which no figure here counts, in one sentence; none without a strand.
 */
temperature: string | null,
/**
 * What does not fit, each in a plain sentence.
 */
issues: Array<string>,
/**
 * Set tension above the upper one.
 */
setAboveUpper: boolean, };

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
reason?: string | null,
/**
 * What was told with it: its band, what it rests on, its raw recordings.
 */
told?: ReadingTold | null, };

/**
 * What is left between required and upper tension, as the gauge may show it.
 */
export type TensionRoom = {
/**
 * Least reading that is clear of the required tension.
 */
clearFromN: number,
/**
 * Largest reading that stays below the upper tension.
 */
clearToN: number,
/**
 * Between the two; below zero where there is none.
 */
widthN: number,
/**
 * Whether the gauge can tell the two apart.
 */
enough: boolean, };

/**
 * How a run is tensioned.
 */
export type Tensioning = {
/**
 * The run.
 */
run: ItemId,
/**
 * Its name.
 */
runName: string,
/**
 * Set tension decided.
 */
setN: number | null,
/**
 * Upper tension decided.
 */
upperN: number | null,
/**
 * What is missing before turns can be told; none where nothing is.
 */
missing: string | null,
/**
 * The one end that is turned; none where both are.
 */
turnedAt: OneEnd | null,
/**
 * What turning is worth.
 */
worth: TurnWorth | null,
/**
 * Even passes from slack wires.
 */
passes: Array<PassPlan>,
/**
 * Wires that the passes leave below the set tension by more than the gauge can tell.
 */
passesShort: Array<number>,
/**
 * The same in words, with what to do; none where the passes arrive.
 */
passesNote: string | null,
/**
 * One pass from where the wires stand, or why not; none where nothing is left of it.
 */
onePass: OnePassPlan | null,
/**
 * Wires as they are now, from the bottom.
 */
wires: Array<WireNow>,
/**
 * What is left to turn until all stand at the set tension, in the order in which it is turned;
 * empty where a wire would have to show more than the upper tension on the way. While wires stand over
 * it: each of those, let out to the set tension by itself.
 */
even: Array<EvenStep>,
/**
 * Why it is not told, that wires are let out first, or that nothing is left; none where it is told.
 */
evenNote: string | null,
/**
 * Wires over the upper tension: they are let out and read before anything is turned at another.
 */
over: Array<number>,
/**
 * What was assumed or left out.
 */
notes: Array<string>, };

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
 * Figures of one terminal of a fitting set.
 */
export type Terminal = {
/**
 * Hand of its thread.
 */
hand: Hand,
/**
 * Kind of end that it makes.
 */
kind: EndKind,
/**
 * Stud length overall (O); of an end without a thread it says nothing, and older versions copied the
 * stud's.
 */
overallNm?: number,
/**
 * Wire swallowed (w).
 */
insertionNm: number,
/**
 * Growth on swaging (g).
 */
growthNm: number,
/**
 * Usable thread (h); none of an end without a thread, and so of all that follows from it.
 */
threadNm?: number,
/**
 * Least engagement (e_min).
 */
leastEngagementNm?: number,
/**
 * Engagement to catch by hand (x_start).
 */
startNm?: number,
/**
 * Thread kept for re-tensioning (r).
 */
reserveNm?: number,
/**
 * Lock nut.
 */
lockNutNm?: number,
/**
 * Nominal thread diameter.
 */
threadDiameterNm?: number,
/**
 * Thread pitch.
 */
pitchNm?: number,
/**
 * Hole for the insert or bolt, diameter.
 */
holeNm?: number,
/**
 * Hole for the insert, depth.
 */
holeDepthNm?: number,
/**
 * Length of the angled seat under the fitting, where one is used.
 */
seatNm?: number | null,
/**
 * Clear depth in the insert behind the face, where known.
 */
clearDepthNm?: number | null,
/**
 * From the post's face to the mouth of the shank of an end without a thread, before pressing, as it hangs
 * there under a pull. No cut is computed before it is told.
 */
mouthNm?: number,
/**
 * Washer on the far face, for a bolt through the post.
 */
washerNm?: number, };

/**
 * A fitting set's two terminals.
 */
export type Terminals = {
/**
 * The left-hand one.
 */
left: Terminal,
/**
 * The right-hand one.
 */
right: Terminal,
/**
 * Most by which one end may be screwed in further than the other when a wire is caught (o), where
 * it is told; both ends then turn alike.
 */
unequalStartNm?: number,
/**
 * Where the figures are from.
 */
origin: string,
/**
 * Where single figures are from, by their names (`left.overallNm`, `throughHoleNm`), where a
 * sheet told them one by one.
 */
origins?: { [key in string]: string }, };

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
 * What a straight pull asks of one thread of the run's ends.
 */
export type ThreadAsked = {
/**
 * The thread: "M6 × 1, LH and RH", "6.35 mm × 1.27 mm (20 turns per inch), LH".
 */
thread: string,
/**
 * The pull, newtons.
 */
tensionN: number,
/**
 * Which tension that is, in words.
 */
tensionOrigin: string,
/**
 * Its stress area, square millimetres; none where diameter and pitch can't be together.
 */
areaMm2: number | null,
/**
 * The pull over that area, newtons per square millimetre.
 */
stressMpa: number | null,
/**
 * One sentence.
 */
sentence: string, };

/**
 * Thread of a wire from catching by hand to the set tension.
 */
export type ThreadNeed = {
/**
 * What both ends turn in from hand tight to the set tension.
 */
needsMm: number,
/**
 * Thread engaged at both ends when the wire is hand tight; 0 where they do not reach the posts.
 */
startsMm: number,
/**
 * Thread left showing at both ends at the set tension; 0 where more would have to be in than there
 * is.
 */
leftMm: number,
/**
 * What does not fit, in one sentence.
 */
short: string | null, };

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
batch?: string,
/**
 * For cutting wires of a run that no cut is computed for: the length at which each was cut on site.
 */
onSite?: Typed,
/**
 * Set when the person was asked about a release whose ground moved, or a tick that contradicts
 * what is known, and said yes.
 */
confirmed?: boolean, };

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
tied: boolean,
/**
 * Set when the person was asked about a picture that can't be shown, and said yes.
 */
confirmed?: boolean, };

/**
 * What brings a wire to the tension of a pass from where it is.
 */
export type ToPass = {
/**
 * Number of the pass.
 */
pass: number,
/**
 * The pass's tension.
 */
tensionN: number,
/**
 * The least that the gauge may show when the wire is there: by as much less as it can't tell,
 * and on the last pass no less than is clear of what is required, where there is room for that.
 */
fromN: number,
/**
 * The most: by as much more, and not so much that the wire may be above the upper tension.
 */
toN: number,
/**
 * What to turn, the other wires left as they are; out where it is over the upper tension, none where
 * it is there already.
 */
turn: TurnIn | null, };

/**
 * A figure that a wire is brought to, and what the gauge may show for it.
 */
export type ToShow = {
/**
 * What it has to show when it has just been turned, as the gauge can tell it.
 */
tensionN: number,
/**
 * The least that the gauge may show.
 */
fromN: number,
/**
 * The most.
 */
toN: number, };

/**
 * What all runs together ask of a post, their pulls added as vectors.
 */
export type Together = {
/**
 * The other runs.
 */
runs: Array<OtherRun>,
/**
 * Demand, free first; where an angle is not told each figure is the greatest over all angles,
 * by itself.
 */
held: Array<PostHeld>,
/**
 * The same at a right angle, where an angle is not told; else empty.
 */
atRightAngle: Array<PostHeld>,
/**
 * One sentence with the figures.
 */
sentence: string, };

/**
 * A deflection so small that half a millimetre of the ruler makes more of the tension than there is room.
 */
export type TooCoarse = {
/**
 * The deflection looked at, millimetres.
 */
downMm: number,
/**
 * Tension that half a millimetre more of it tells, newtons.
 */
leastN: number,
/**
 * The same of half a millimetre less; none where that leaves no deflection.
 */
mostN: number | null,
/**
 * Upper tension less required.
 */
roomN: number,
/**
 * Mass under which the ruler tells enough, kilograms; none where none up to ten times the usual does,
 * and where the table's own limit goes with its own mass.
 */
fromKg: number | null,
/**
 * One sentence or two.
 */
sentence: string, };

/**
 * Kind of tool.
 */
export type ToolKind = "tensionGauge" | "press" | "die" | "swageGauge" | "probe" | "mass" | "tape" | "laser" | "thermometer" | "other";

/**
 * What a finding is about.
 */
export type Topic = "barrierNeeded" | "height" | "opening" | "faceGap" | "climbing" | "wireTable" | "pool" | "loads" | "handrail" | "corner" | "wireEnd";

/**
 * A fitted wire as it was read.
 */
export type TrialReading = {
/**
 * Number of the wire.
 */
wire: number,
/**
 * "A6", or "A6 piece 1" of a piece that was taken out.
 */
name: string,
/**
 * Whether that piece is no longer in place.
 */
takenOut: boolean,
/**
 * Inside to inside.
 */
insideMm: number,
/**
 * What was cut.
 */
cutMm: number,
/**
 * Thread left showing at both ends together, as read or as "too long by" comes to.
 */
showingMm: number,
/**
 * Inward movement of both posts once all wires are tight: y.
 */
inwardMm: number,
/**
 * What both ends still turn in until then: movement of the posts and stretch.
 */
stillToComeMm: number,
/**
 * What the wire takes up in all: z.
 */
takesUpMm: number,
/**
 * The same as fittings and strand let expect.
 */
expectedMm: number,
/**
 * How much the reading counts; 1 for a plain one.
 */
weight: number,
/**
 * How it was read, in words.
 */
readAs: string,
/**
 * The readings.
 */
entries: Array<Hash>, };

/**
 * How far one more trial wire has come.
 */
export type TrialStage = "release" | "make" | "read";

/**
 * A turn-in of a wire at the ends that are turned, to the nearest flat.
 */
export type TurnIn = {
/**
 * Whether the wire is let out.
 */
back: boolean,
/**
 * Whole turns at each end that is turned.
 */
turns: number,
/**
 * Sixths of a turn.
 */
flats: number,
/**
 * What they take up together.
 */
mm: number, };

/**
 * Tells that a wire was turned in.
 */
export type TurnWire = {
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
 * Turns and flats at the run's first post.
 */
turns: Turns,
/**
 * Those at its last post, where they are others than at the first.
 */
last?: Turns,
/**
 * The tension towards which it was turned, in millinewtons: that of the pass, or the set one.
 */
toMn: number, };

/**
 * What turning is worth on a run.
 */
export type TurnWorth = {
/**
 * Newtons that one turn adds to a wire, the others left as they are: mean of the run.
 */
turnN: number,
/**
 * The same for one flat.
 */
flatN: number,
/**
 * In words.
 */
sentence: string, };

/**
 * What a wire was turned since it was last read, as its turnings were told: the plan does not count
 * it, the gauge tells.
 */
export type TurnedSince = {
/**
 * Whole turns at the first post.
 */
turns: number,
/**
 * Sixths of a turn beyond.
 */
flats: number,
/**
 * Whole turns at the last post.
 */
lastTurns: number,
/**
 * Sixths of a turn beyond.
 */
lastFlats: number, };

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
 * One opening of a bay under the push.
 */
export type UnderPush = {
/**
 * Lower wire; 0 from the floor to wire 1.
 */
lower: number,
/**
 * What it lies between.
 */
between: GapBetween,
/**
 * Clear before the push, square to the wires: the wider of the bay's two posts.
 */
atRestMm: number,
/**
 * Measured as drilled or built, or as planned.
 */
origin: Origin,
/**
 * Tension that counts: of two wires the lower one.
 */
tensionN: number | null,
/**
 * Read or planned.
 */
tensionOrigin: Origin | null,
/**
 * Whether the sphere goes through without touching.
 */
passesFreely: boolean,
/**
 * Force at which the sphere passes, wires sliding through the posts: the careful figure.
 */
forceN: number | null,
/**
 * The same with the wires gripped at the bay's posts.
 */
grippedN: number | null,
/**
 * The same with end posts that do not give, where nothing tells how they give; none elsewhere.
 */
rigidN: number | null,
/**
 * Clear under the push; the sphere's diameter where it passes.
 */
underPushMm: number | null,
/**
 * Where the push brings the sphere through: the least tension that would hold it, wires sliding;
 * none where no tension does, as a note says.
 */
needsN: number | null,
/**
 * Whether that is over the upper tension.
 */
needsTooMuch: boolean,
/**
 * Whether the push brings the sphere through.
 */
passes: boolean | null,
/**
 * How far the sphere's centre then stands before the plane of the wires.
 */
depthMm: number | null, };

/**
 * Unit in which a length is typed.
 */
export type Unit = "mm" | "in";

/**
 * Released wires without a label, for one reason.
 */
export type Unlabelled = {
/**
 * "A1–5, 7".
 */
names: string,
/**
 * Why, and what to do.
 */
reason: string, };

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
 * One limit on the tension.
 */
export type UpperPart = {
/**
 * What it belongs to, in words.
 */
name: string,
/**
 * The limit.
 */
limitN: number,
/**
 * Where it is from.
 */
origin: Origin,
/**
 * How it comes about.
 */
source: string, };

/**
 * Copies something of the library into a job.
 */
export type UseFromLibrary = {
/**
 * The job.
 */
job: string,
/**
 * Name in the program's library, or the id of the crew's own thing.
 */
name: string, };

/**
 * Copies a rule set into a job.
 */
export type UseRuleSet = {
/**
 * The job.
 */
job: string,
/**
 * Name in the program's library, or the id of the crew's own set.
 */
name: string,
/**
 * Yes to the question what becomes of what was decided by the set that stands.
 */
confirmed?: boolean, };

/**
 * A usual order and the most that a wire has to show in it.
 */
export type UsualOrder = {
/**
 * "from the bottom up".
 */
name: string,
/**
 * Largest target.
 */
largestN: number, };

/**
 * How a figure stands against what is asked.
 */
export type Verdict = "notAsked" | "asked" | "meetsFigure" | "short" | "askFirst" | "notAllowed" | "outsideTable";

/**
 * What is looked over.
 */
export type VerifyWhat = "data" | "shared" | "handover";

/**
 * Something that is expected to come.
 */
export type Waiting = {
/**
 * What.
 */
what: WaitingFor,
/**
 * Whose: first name, or the device's id where no name is known.
 */
whose: string,
/**
 * How many.
 */
count: number,
/**
 * The same in a sentence.
 */
words: string, };

/**
 * Kinds of what is expected to come.
 */
export type WaitingFor = "segments" | "newer" | "damaged" | "thumbs" | "views" | "originals";

/**
 * Says why pieces of evidence stay away.
 */
export type WaiveEvidence = {
/**
 * The job.
 */
job: string,
/**
 * Keys of the items, as the list of evidence gives them.
 */
keys: Array<string>,
/**
 * Why; empty asks for it again.
 */
reason: string, };

/**
 * What the temperature may have done to a reading, against the final round's.
 */
export type Warmth = {
/**
 * Warmer than the final round by so many kelvins; below zero: colder.
 */
warmerK: number,
/**
 * Most that this took from the tension; below zero: gave it.
 */
takesN: number,
/**
 * The same for one kelvin.
 */
perKelvinN: number,
/**
 * One sentence.
 */
sentence: string, };

/**
 * A wire as it is now.
 */
export type WireNow = {
/**
 * Number of the wire.
 */
wire: number,
/**
 * "A6".
 */
name: string,
/**
 * What it shows now: as it was read, else computed and rounded to what the gauge can tell.
 */
nowN: number,
/**
 * Where that is from.
 */
from: NowFrom,
/**
 * What brings it alone to each pass.
 */
to: Array<ToPass>,
/**
 * What it was turned since it was last read; none where nothing was.
 */
turned: TurnedSince | null,
/**
 * Its thread; none where its cut is not known.
 */
thread: ThreadNeed | null, };

/**
 * A wire's progress.
 */
export type WireProgress = {
/**
 * Number from the bottom.
 */
wire: number,
/**
 * The wire.
 */
subject: Subject,
/**
 * How far it has come.
 */
stage: WireStage,
/**
 * The most urgent of `flags`, which the drawing shows.
 */
flag: Flag,
/**
 * All that stands out, most urgent first; what makes the others doubtful goes before them.
 */
flags: Array<Flag>,
/**
 * One letter or mark for the drawing.
 */
letter: string,
/**
 * Stage and flags in words.
 */
words: string,
/**
 * Piece of strand in place.
 */
piece: number,
/**
 * Whether its length is interpolated.
 */
interpolated: boolean,
/**
 * Acts ticked off on this piece.
 */
done: Array<Act>,
/**
 * Whether the look before the second ends that stands was for this piece.
 */
looked: boolean,
/**
 * Why its release is looked at on the cut sheet before it is cut, as a clause; left out where it is cut, or
 * stands as it was released.
 */
releaseMoved?: string, };

/**
 * How far a wire has come.
 */
export type WireStage = "none" | "measured" | "cut" | "read" | "fitted" | "tensioned" | "checked";

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
 * Takes back what an entry said, or several of one act.
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
 * Further entries, taken back with it in one act: all of them or none.
 */
more?: Array<string>,
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

/**
 * Asks for a drilling template.
 */
export type WriteTemplate = {
/**
 * The job.
 */
job: string,
/**
 * The run's id.
 */
run: string,
/**
 * One post alone; all of the run where none.
 */
post?: string,
/**
 * The paper: A4 where nothing is said.
 */
paper?: PaperSize,
/**
 * Unit in which heights are told; marks lie at their true places either way.
 */
unit?: Unit,
/**
 * The file to write, which must not exist. Without one: `templates/` in the data folder.
 */
file?: string, };

/** Every command: what it takes and what it gives. */
export interface Commands {
	/** Tells who uses this device, which crews it knows, and the current crew's jobs. */
	overview: { request: Nothing; answer: Overview };
	/** Founds a crew with this device as its founder; the first start needs it once. */
	foundCrew: { request: FoundCrew; answer: Overview };
	/** Begins a job in the current crew. */
	beginJob: { request: BeginJob; answer: Recorded };
	/** Starts importing a survey file into a new job or one that is there. Ends with what was recorded and, with its path in the file, what does not fit. */
	startImport: { request: ImportSurvey; answer: TaskStarted; ends: Imported };
	/** Reads a job: layout, readings, pictures, and what is unsettled. */
	readJob: { request: OfJob; answer: JobView };
	/** Reads all that is said of a subject; with `history` also the words that were replaced. */
	readSubject: { request: OfSubject; answer: SubjectView };
	/** Adds a run, post, defect, tool, batch, visit, strand or fitting set with its first fields; an odd figure is questioned once. */
	addThing: { request: AddThing; answer: Recorded };
	/** Withdraws the creation of a thing, with a reason; all that was said of it is kept. */
	removeThing: { request: RemoveThing; answer: Recorded };
	/** Says values of plain fields, all in one act; a single value replaces all that stands, and an odd figure is questioned once. */
	say: { request: Say; answer: Recorded };
	/** Records an inside-to-inside length of a wire; an odd one is questioned once. */
	measure: { request: Measure; answer: Recorded };
	/** Records the clear distance between two posts, face to face. */
	measureBay: { request: MeasureBay; answer: Recorded };
	/** Settles a dispute: the chosen word's value holds, over all that stood. */
	settle: { request: Settle; answer: Recorded };
	/** Takes back all that an entry said, or several in one act; the words stay readable. */
	withdraw: { request: Withdraw; answer: Recorded };
	/** Decides required, set and upper tension of a run; a required one below the table is questioned. */
	setTensions: { request: SetTensions; answer: Recorded };
	/** Lists rule sets, strands and fitting sets: those that come with the program, and the crew's. */
	libraries: { request: Nothing; answer: Libraries };
	/** Tells how every rule set stands to the job's permit, the best fit first, and what each warns of. */
	ruleSetsFor: { request: OfJob; answer: RuleSetsFor };
	/** Lists them for a job that is still to be begun, by the day of its permit where that is known. */
	ruleSetsOn: { request: RuleSetsOn; answer: RuleSetsFor };
	/** Lists the figures of a rule set that can be changed one by one, with clause and status. */
	ruleFigures: { request: OfRuleSet; answer: RuleFigures };
	/** Keeps a rule set of the crew's own: a file, or another one with figures changed; says why. */
	keepRuleSet: { request: KeepRuleSet; answer: Recorded };
	/** Keeps a strand of the crew's own from its maker's sheet, each figure with its origin. */
	keepStrand: { request: KeepStrand; answer: Recorded };
	/** Keeps a fitting set of the crew's own from its maker's sheet, each figure with its origin. */
	keepFittingSet: { request: KeepFittingSet; answer: Recorded };
	/** Takes something of the crew's own out of the library, with a reason; jobs keep their copies. */
	dropOwn: { request: DropOwn; answer: Recorded };
	/** Copies a rule set whole into the job, with its hash and origin. */
	useRuleSet: { request: UseRuleSet; answer: Recorded };
	/** Copies a strand's figures into the job. */
	useStrand: { request: UseFromLibrary; answer: Recorded };
	/** Copies a fitting set's figures into the job. */
	useFittingSet: { request: UseFromLibrary; answer: Recorded };
	/** Draws a run: the same shapes stand on the screen and in the handover. */
	drawRun: { request: OfRun; answer: DrawingView };
	/** Holds the rule set against a run, before anything is ordered. */
	beforeOrdering: { request: OfRun; answer: BeforeOrdering };
	/** Tells what the wires of a run ask of its end and corner posts: free, with the rail and with one that does not give, alone and with the other runs on them. */
	postsAsked: { request: OfRun; answer: PostsAsked };
	/** Tells how the pull of the runs opens the gates at a run's posts: clear opening and the gaps beside the leaf before and after tension, beside the sphere of the rules and what was measured. */
	gateGaps: { request: OfRun; answer: Gates };
	/** Records a known pull on a post and how far it moved, rail off or on; an odd one is questioned. */
	readPull: { request: ReadPull; answer: Recorded };
	/** Tells how far the openings of a run give under a push and what force a sphere needs to pass, each bay drawn in section; a guide, beside the rule's table and the probe. */
	underPush: { request: AskPush; answer: PushedView };
	/** Tells what a run may be tensioned to, and why. */
	tensionPlan: { request: OfRun; answer: TensionPlan };
	/** Works out the cut sheet of a run, trial wire first. */
	cutSheet: { request: OfRun; answer: CutSheet };
	/** Tells what the fitted trial wires of a run teach of the cuts that are left. */
	learned: { request: OfRun; answer: Learning };
	/** Releases wires for cutting with the figures of the cut sheet as told; all or none. */
	issueCuts: { request: IssueCuts; answer: Recorded };
	/** Plans which released wire is cut from which reel or offcut, in what order, and tells what every reel has left; worked out anew from what was cut, changed and scrapped. */
	cutPlan: { request: OfJob; answer: CutPlan };
	/** Ticks off wires as cut, each with the reel or offcut that it came from; all or none. */
	cutBatch: { request: CutBatch; answer: Recorded };
	/** Records strand thrown away uncut: a length of a reel, all that is left of it, or an offcut. */
	scrapStrand: { request: ScrapStrand; answer: Recorded };
	/** Keeps a length of a piece that was taken out, as an offcut. */
	keepOffcut: { request: KeepOffcut; answer: Recorded };
	/** Starts writing labels of the planned wires as a PDF: "A6 7235 A1:LH". */
	startLabels: { request: PrintLabels; answer: TaskStarted; ends: LabelsWritten };
	/** Counts the parts of a job, each hand apart. */
	takeOff: { request: OfJob; answer: TakeOff };
	/** Proposes wires for a run from its rail, floor and rule set: number, heights, what is in hand. */
	layOut: { request: LayOut; answer: LayoutProposals };
	/** Takes a proposal into the record as it was shown: number of wires and heights, in one act. */
	takeLayout: { request: TakeLayout; answer: Recorded };
	/** Puts the holes of a run's end off the middle of their face, away from another run's, or back to it. */
	putAside: { request: PutAside; answer: Recorded };
	/** Writes the full-size drilling template of a run's posts as a PDF and tells where it lies. */
	drillingTemplate: { request: WriteTemplate; answer: TemplateWritten };
	/** Copies a template or labels that were written to where the person finds them: a folder, or the device's own one for downloads. */
	handOut: { request: HandOut; answer: HandedOut };
	/** Copies a document of the record there, once its bytes are those that were taken in. */
	handOutDocument: { request: HandOutDocument; answer: HandedOut };
	/** Lists the holes of a run, per post face. */
	holeSchedule: { request: OfRun; answer: HoleSchedule };
	/** Tells the readings of a run against its tensions. */
	tensions: { request: OfRun; answer: RunTensions };
	/** Tells how a run is brought to its set tension: passes with turns and flats, one pass or why not, and what is left to turn after what was read. */
	tensioning: { request: OfRun; answer: Tensioning };
	/** Tells what friction leaves of a run's tension behind each corner, from–to, what the bays there may lack of what is required, and at which end to tension. */
	corners: { request: OfRun; answer: Corners };
	/** Tells what a run is expected to lose later, when to come back, and which wires to turn then. */
	recheck: { request: OfRun; answer: Recheck };
	/** Tells how far the wires, bays and posts of a run have come. */
	progress: { request: OfRun; answer: Progress };
	/** Tells the next useful act of a job. */
	nextAct: { request: AskNext; answer: Next };
	/** Lists the evidence of a job: what is there, what stays away and why, what is missing. */
	lacks: { request: OfJob; answer: Lacks };
	/** Ticks an act off for wires, in any order; cutting needs a release of each wire. */
	tickWires: { request: TickWires; answer: Recorded };
	/** Records a sample crimp that was pulled. */
	addSampleCrimp: { request: AddSampleCrimp; answer: Recorded };
	/** Records crimps as checked; a reject says why. */
	checkCrimps: { request: CheckCrimps; answer: Recorded };
	/** Records thread left, turns and marks of wires at one end. */
	readEnd: { request: ReadEnd; answer: Recorded };
	/** Records that a wire was turned in at both ends, each by its count, towards a tension. */
	turnWire: { request: TurnWire; answer: Recorded };
	/** Records how far a fitted wire is too long or too short, hand tight. */
	readOutBy: { request: ReadOutBy; answer: Recorded };
	/** Records that a wire is made anew; cutting, crimps and readings begin again. */
	remakeWire: { request: RemakeWire; answer: Recorded };
	/** Records a tension taken with a gauge; one above the upper tension is questioned. */
	readTension: { request: ReadTension; answer: Recorded };
	/** Records the deflection of a wire under a hung mass at mid span. */
	readDeflection: { request: ReadDeflection; answer: Recorded };
	/** Tells the tension that plucks or a swing speak of, as a guide, or why they tell none. */
	hear: { request: Hear; answer: Heard };
	/** Records a tension by sound or hung phone with its raw recordings; it counts against no table. */
	keepHeard: { request: KeepHeard; answer: KeptHeard };
	/** Compares the wires of a run by what was heard of them: which is tighter, which slacker. */
	evenUp: { request: OfRun; answer: EvenUp };
	/** Records a gap check of a bay: all openings stop the probe, but for the exceptions. */
	checkGaps: { request: CheckGaps; answer: Recorded };
	/** Takes a picture into the record: original, view and thumb, with time, place and what it shows. */
	addPhoto: { request: AddPhoto; answer: Recorded };
	/** Takes any file into the record as a document. */
	addDocument: { request: AddDocument; answer: Recorded };
	/** Marks a copy of a picture with arrows, rings and words, in the place of all that is marked on it; no marks take them back. Its files keep their bytes. */
	markPicture: { request: MarkPicture; answer: Recorded };
	/** Ties a picture or document to what it shows, or unties it. */
	tiePicture: { request: TiePicture; answer: Recorded };
	/** Records a person's statement on a stage, with the heads that it covers. */
	signOff: { request: SignStageOff; answer: Recorded };
	/** Says why a piece of evidence stays away; documents print the reason. */
	waiveEvidence: { request: WaiveEvidence; answer: Recorded };
	/** Starts writing a handover folder: document, data, books, originals, sums. */
	startHandover: { request: HandOver; answer: TaskStarted; ends: HandedOver };
	/** Starts looking a folder over: this device's data, a shared folder or a handover. Ends with what is in it, or with the first fault, its kind and what to do. */
	startVerify: { request: StartVerify; answer: TaskStarted; ends: LookedOver };
	/** Tells the whole job as stable JSON, with the state's hash. */
	readState: { request: OfJob; answer: StateView };
	/** Deletes the index, makes it anew from the journal, and tells the hashes before and after. */
	rebuild: { request: Nothing; answer: Rebuilt };
	/** Makes a folder the shared folder of the current crew. */
	share: { request: OfFolder; answer: Overview };
	/** Asks to join the crew of a folder and shows the digits to compare. */
	join: { request: Join; answer: Digits };
	/** Confirms on the joining device that both screens show the same digits. */
	confirmJoin: { request: ConfirmJoin; answer: Overview };
	/** Lists devices in the shared folder that ask to be admitted, with the digits to compare: 32 at once, the next ones after the last that was listed. */
	applicants: { request: AskApplicants; answer: Applicants };
	/** Admits a device whose digits were compared. */
	admit: { request: Admit; answer: Overview };
	/** Takes a new identity after this device's record went two ways, or can't go on; it must be admitted again. The only one who may admit goes on before what is damaged instead, on a yes. */
	newIdentity: { request: NewIdentity; answer: Overview };
	/** Names a device of the crew a keeper, who may admit and end others; the founder alone can. */
	nameKeeper: { request: OfDevice; answer: Overview };
	/** Ends a device: what it recorded so far still counts, nothing after it. */
	endDevice: { request: EndDevice; answer: Overview };
	/** Chooses the crew whose jobs are shown and into which new ones go. */
	chooseCrew: { request: OfCrew; answer: Overview };
	/** Says which jobs exchanges bring here: every one of the crew, or those that were chosen. */
	keepJobs: { request: KeepJobs; answer: Overview };
	/** Keeps a listed job on this device from the next exchange on. */
	keepJob: { request: OfJob; answer: Overview };
	/** Tells how the exchange stands, without looking at the folder. */
	readExchange: { request: Nothing; answer: ExchangeView };
	/** Starts an exchange with the shared folder; with `everything` also what lies there already is listed and read, and what was damaged there is written again beside it. */
	startSync: { request: StartSync; answer: TaskStarted; ends: SyncReport };
	/** Keeps a small text of the screens on this device, or forgets it; never part of the record. */
	keep: { request: Keep; answer: Nothing };
	/** Reads all that the screens keep on this device. */
	readKept: { request: Nothing; answer: Kept };
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
