// Stands in for the generated types until they carry these names; see the api crate's views.

export interface WordView { entry: string; value: unknown; with: unknown; who: string; device: string; atMs: number; offsetMin: number; timeSuspect: boolean; stands: boolean }
export interface FactView { field: string; place: string; line: string; many: boolean; standing: string; words: WordView[]; said: number }
export interface FileView { sha256: string; bytes: number; role: string }
export interface PictureView {
  subject: string; caption: string; taken?: { ms?: number; offsetMin?: number; uncertain?: string; witness: string };
  position?: [number, number]; doubts: string[]; shows: { subject: string; name: string; evidence: string }[]; files: FileView[]; by: string; entry: string;
}
export interface ReadingView {
  entry: string; bay: string; newtons: number | null; standing: string; stage: string; pass: number | null; method: string; who: string; atMs: number;
  with: Record<string, unknown> | null;
}
export interface CrimpView { post: string; result: string | null; piece: number; reason: string | null; entry: string }
export type LengthView =
  | { kind: 'notMeasured' } | { kind: 'cuttable'; mm: number; spreadMm: number } | { kind: 'disputed' } | { kind: 'newer' } | { kind: 'quoteOnly' } | { kind: 'tooEarly'; posts: string };
export interface WireView {
  subject: string; number: number; heightMm: number | null; length: LengthView; lastReadMm: number | null; piece: number; issuedMm: number | null; cutMm: number | null;
  done: string[]; crimps: CrimpView[]; tensions: ReadingView[]; unsettled: boolean;
}
export interface GapView { aboveWire: number | null; stops: boolean | null; probeMm: number; atMs: number; entry: string }
export interface BayView { subject: string; place: string; name: string; clearMm: number | null; measured: boolean; along: string; gaps: GapView[] }
export interface PostView { subject: string; id: string; name: string; positionMm: number | null; role: string; end: { kind: string; hand: string; tensioner: boolean } | null; section: { alongNm: number; acrossNm: number } | null; floorMm: number | null }
export interface RunView {
  subject: string; id: string; name: string; surface: string | null; shape: string; heightMm: number | null; slope: unknown; rail: unknown; strand: string | null; fittingSet: string | null;
  lining: string; trialWire: number; tensions: { requiredMn: number; setMn: number; upperMn: number; passesMn: number[] } | null; posts: PostView[]; bays: BayView[]; wires: WireView[];
}
export interface DefectView { subject: string; found: string; who: string; atMs: number; about: string | null; aboutName: string; closed: string | null; entry: string }
export interface ThingView { subject: string; id: string; name: string; tool: string | null; errorPer10000: number | null; facts: FactView[] }
export interface SampleView { entry: string; atMs: number; who: string; sample: { pullMn: number; heldS: number; markMovedNm: number; result: string } | null }
export interface SignOffView { stage: string; statement: string; who: string; atMs: number; since: number; outsideRole: string | null; entry: string }
export interface UnsettledView { subject: string; name: string; fact: FactView }
export interface JobView {
  job: string; subject: string; title: string; place: string; facts: FactView[]; runs: RunView[]; photos: PictureView[]; documents: PictureView[]; defects: DefectView[];
  tools: ThingView[]; batches: ThingView[]; visits: ThingView[]; strands: ThingView[]; fittingSets: ThingView[]; samples: SampleView[]; signOffs: SignOffView[]; unsettled: UnsettledView[];
}
export interface SubjectView { subject: string; name: string; inLayout: boolean; facts: FactView[] }
export interface MemberView { device: string; persons: string[]; role: string; thisDevice: boolean; founder: boolean; keeper: boolean; ended: boolean; forked: boolean }
export interface CrewView { book: string; name: string; current: boolean; admitted: boolean; folder?: string; members: MemberView[] }
export interface JobCard { job: string; title: string; place: string; kept: boolean; disputed: number; openDefects: number }
export interface Overview { device: string; person?: string; crews: CrewView[]; jobs: JobCard[]; program: string }

export interface Commands {
  [name: string]: { request: unknown; answer: unknown };
}

export interface Quantity { value: number; unit: 'mm' | 'N' }
export interface Source { document: string; edition: string; clause: string; status: string }
export interface Finding {
  topic: string; place: string; subject: string; required: Quantity | null; actual: Quantity | null; margin: Quantity | null; verdict: string; source: Source; confirm: string; sentence: string;
}
export interface NextRow { atMm: number; distanceMm: number; outcome: string; newtons: number | null; differenceN: number | null }
export interface BayRow {
  subject: string; name: string; clearMm: number; clearOrigin: string; spacingMm: number; spacingOrigin: string; outcome: string; leastTensionN: number | null; rowClearMm: number | null;
  rowSpacingMm: number | null; rowDiameterMm: number | null; longer: NextRow | null; shorter: NextRow | null; wider: NextRow | null; mostDeflectionMm: number | null; deflectionMassKg: number | null;
  doubt: string | null; source: Source | null;
}
export interface RuleSetNote { name: string; title: string; document: string; edition: string; attribution: string; caution: string; confirm: string; sha256: string }
export interface PostHeld { held: 'free' | 'withRail'; levelPullN: number; baseMomentNm: number; baseStressMpa: number; tipMm: number | null; railForceN: number | null; fixingForceN: number | null; leftOut: string[] }
export interface PostAsked { post: string; subject: string; name: string; wires: number; tensionN: number; tensionOrigin: string; lookedAtMm: number; held: PostHeld[]; origin: string; confirm: string; sentence: string }
export interface Problem { code: string; subject: string; sentence: string }
export interface UpperPart { name: string; limitN: number; origin: string; source: string }
export interface TensionPlan {
  required: { newtons: number; bay: string; origin: string } | null; upperN: number | null; upperExactN: number | null; upperOrigin: string; parts: UpperPart[]; notKnown: string[];
  gauge: { tool: string; name: string; error: number | null; dates: string } | null; room: { clearFromN: number; clearToN: number; widthN: number; enough: boolean } | null;
  leastSetN: number | null; suggestedN: number | null; suggestion: string; issues: string[]; setAboveUpper: boolean;
}
export interface BeforeOrdering { run: string; runName: string; ruleSet: RuleSetNote | null; findings: Finding[]; bays: BayRow[]; tension: TensionPlan; posts: PostAsked[]; problems: Problem[]; notes: string[] }

export interface CutLine {
  wire: number; subject: string; name: string; trial: boolean; piece: number; insideMm: number | null; insideOrigin: string | null; interpolatedFrom: number[]; insideSpreadMm: number | null;
  inwardMm: number | null; inwardOrigin: string | null; shortestMm: number | null; shortestBy: string | null; longestMm: number | null; widthMm: number | null; aimMm: number | null;
  deductionMm: number | null; stretchMm: number | null; chance: number | null; chanceWords: string | null;
  fixed: { deductionMm: number; cutMm: number; inside: boolean; byMm: number; sentence: string } | null; refused: { code: string; sentence: string } | null; basis: string[];
  numbers: { name: string; value: string; origin: string }[];
  issued: { cutMm: number; shortestMm: number; longestMm: number; entry: string; by: string; atMs: number; basisStands: boolean } | null; cutDoneMm: number | null;
}
export interface CutSheet {
  run: string; runName: string; trialWire: number; trialCut: boolean; tensionN: number | null; bowMm: number | null; lines: CutLine[];
  totals: { wires: number; cuttable: number; refused: number; issued: number; cut: number; aimsMm: number }; notes: string[]; inputs: { name: string; value: string; origin: string }[];
}

export interface PartLine { part: string; hand: string | null; needed: number; sample: number; scrap: number; over: number; total: number; basis: string }
export interface StrandMetres { name: string; wires: number; cutsMm: number; cutsFrom: string; sampleMm: number; scrapMm: number; totalMm: number }
export interface TakeOff { wires: number; lines: PartLine[]; strands: StrandMetres[]; insertHoles: number; throughHoles: number; notes: string[] }
export interface HoleLine {
  post: string; postName: string; face: string; wire: number; heightMm: number; diameterMm: number; depthMm: number; through: boolean; hand: string | null; riseDeg: number;
  drilledBelowMm: number | null; plannedBelowMm: number | null; plannedBelowSquareMm: number | null;
}
export interface HoleSchedule { run: string; holes: HoleLine[]; staggers: { post: string; sentence: string }[]; insertHoles: number; throughHoles: number; notes: string[] }

export interface NextAct { what: string; key: string; run: string | null; subject: string; sentence: string; figure: string | null; wires: number[]; left: number }
export interface WireProgress { wire: number; subject: string; stage: string; flag: string; letter: string; words: string; piece: number; interpolated: boolean; done: string[] }
export interface Progress { run: string; wires: WireProgress[]; bays: { subject: string; name: string; measured: boolean; gaps: string; passesAbove: number[] }[]; gapsStop: boolean }

export interface Lack {
  key: string; section: number; sectionTitle: string; name: string; subject: string; state: 'there' | 'waived' | 'lacking'; detail: string; waivedBecause: string | null; waivedBy: string | null;
  asksForPicture: boolean; evidence: string | null; askedBy: string;
}
export interface Lacks { items: Lack[]; lacking: number; waived: number; there: number }
