//! THE list: every command there is, with its request, its answer and its handler.

use crate::{
    boundary::{Nothing, commands},
    handlers::{
        Recorded, checks, crew, cut_plan, cutting, decide, exchange, import, jobs, kept, laying,
        library, marks, measure, members, office, own, pictures, posts, pushed, say, settle,
        signing, trial, turning, verify, work, written,
    },
    tasks, uploads,
    views::{job::JobView, overview::Overview},
};

commands! {
    /// Tells who uses this device, which crews it knows, and the current crew's jobs.
    overview(Nothing) -> Overview = crew::read_overview;
    /// Founds a crew with this device as its founder; the first start needs it once.
    found_crew(crew::FoundCrew) -> Overview = crew::found_crew;
    /// Begins a job in the current crew.
    begin_job(jobs::BeginJob) -> Recorded = jobs::begin_job;
    /// Starts importing a survey file into a new job or one that is there. Ends with what was
    /// recorded and, with its path in the file, what does not fit.
    start_import(import::ImportSurvey) -> tasks::TaskStarted => import::Imported = import::start_import;
    /// Reads a job: layout, readings, pictures, and what is unsettled.
    read_job(jobs::OfJob) -> JobView = jobs::read_job;
    /// Reads all that is said of a subject; with `history` also the words that were replaced.
    read_subject(jobs::OfSubject) -> jobs::SubjectView = jobs::read_subject;
    /// Adds a run, post, defect, tool, batch, visit, strand or fitting set with its first fields; an
    /// odd figure is questioned once.
    add_thing(jobs::AddThing) -> Recorded = jobs::add_thing;
    /// Withdraws the creation of a thing, with a reason; all that was said of it is kept.
    remove_thing(jobs::RemoveThing) -> Recorded = jobs::remove_thing;
    /// Says values of plain fields, all in one act; a single value replaces all that stands, and an
    /// odd figure is questioned once.
    say(say::Say) -> Recorded = say::say;
    /// Records an inside-to-inside length of a wire; an odd one is questioned once.
    measure(measure::Measure) -> Recorded = measure::measure;
    /// Records the clear distance between two posts, face to face.
    measure_bay(measure::MeasureBay) -> Recorded = measure::measure_bay;
    /// Settles a dispute: the chosen word's value holds, over all that stood.
    settle(settle::Settle) -> Recorded = settle::settle;
    /// Takes back all that an entry said, or several in one act; the words stay readable.
    withdraw(settle::Withdraw) -> Recorded = settle::withdraw;
    /// Decides required, set and upper tension of a run; a required one below the table is questioned.
    set_tensions(decide::SetTensions) -> Recorded = decide::set_tensions;
    /// Lists rule sets, strands and fitting sets: those that come with the program, and the crew's.
    libraries(Nothing) -> library::Libraries = library::libraries;
    /// Tells how every rule set stands to the job's permit, the best fit first, and what each warns of.
    rule_sets_for(jobs::OfJob) -> records::library::RuleSetsFor = library::rule_sets_for;
    /// Lists them for a job that is still to be begun, by the day of its permit where that is known.
    rule_sets_on(library::RuleSetsOn) -> records::library::RuleSetsFor = library::rule_sets_on;
    /// Lists the figures of a rule set that can be changed one by one, with clause and status.
    rule_figures(own::OfRuleSet) -> own::RuleFigures = own::rule_figures;
    /// Keeps a rule set of the crew's own: a file, or another one with figures changed; says why.
    keep_rule_set(own::KeepRuleSet) -> Recorded = own::keep_rule_set;
    /// Keeps a strand of the crew's own from its maker's sheet, each figure with its origin.
    keep_strand(own::KeepStrand) -> Recorded = own::keep_strand;
    /// Keeps a fitting set of the crew's own from its maker's sheet, each figure with its origin.
    keep_fitting_set(own::KeepFittingSet) -> Recorded = own::keep_fitting_set;
    /// Takes something of the crew's own out of the library, with a reason; jobs keep their copies.
    drop_own(own::DropOwn) -> Recorded = own::drop_own;
    /// Copies a rule set whole into the job, with its hash and origin.
    use_rule_set(library::UseRuleSet) -> Recorded = library::use_rule_set;
    /// Copies a strand's figures into the job.
    use_strand(library::UseFromLibrary) -> Recorded = library::use_strand;
    /// Copies a fitting set's figures into the job.
    use_fitting_set(library::UseFromLibrary) -> Recorded = library::use_fitting_set;
    /// Draws a run: the same shapes stand on the screen and in the handover.
    draw_run(work::OfRun) -> work::DrawingView = work::draw_run;
    /// Holds the rule set against a run, before anything is ordered.
    before_ordering(work::OfRun) -> records::work::BeforeOrdering = work::before_ordering;
    /// Tells what the wires of a run ask of its end and corner posts: free, with the rail and with
    /// one that does not give, alone and with the other runs on them.
    posts_asked(work::OfRun) -> records::work::PostsAsked = posts::posts_asked;
    /// Tells how the pull of the runs opens the gates at a run's posts: clear opening and the gaps beside the
    /// leaf before and after tension, beside the sphere of the rules and what was measured.
    gate_gaps(work::OfRun) -> records::work::Gates = posts::gate_gaps;
    /// Records a known pull on a post and how far it moved, rail off or on; an odd one is questioned.
    read_pull(posts::ReadPull) -> Recorded = posts::read_pull;
    /// Tells how far the openings of a run give under a push and what force a sphere needs to pass,
    /// each bay drawn in section; a guide, beside the rule's table and the probe.
    under_push(pushed::AskPush) -> pushed::PushedView = pushed::under_push;
    /// Tells what a run may be tensioned to, and why.
    tension_plan(work::OfRun) -> records::work::TensionPlan = work::tension_plan;
    /// Works out the cut sheet of a run, trial wire first.
    cut_sheet(work::OfRun) -> records::work::CutSheet = work::cut_sheet;
    /// Tells what the fitted trial wires of a run teach of the cuts that are left.
    learned(work::OfRun) -> records::work::Learning = trial::learned;
    /// Releases wires for cutting with the figures of the cut sheet as told; all or none.
    issue_cuts(cutting::IssueCuts) -> Recorded = cutting::issue_cuts;
    /// Plans which released wire is cut from which reel or offcut, in what order, and tells what
    /// every reel has left; worked out anew from what was cut, changed and scrapped.
    cut_plan(jobs::OfJob) -> records::work::CutPlan = cut_plan::cut_plan;
    /// Ticks off wires as cut, each with the reel or offcut that it came from; all or none.
    cut_batch(cut_plan::CutBatch) -> Recorded = cut_plan::cut_batch;
    /// Records strand thrown away uncut: a length of a reel, all that is left of it, or an offcut.
    scrap_strand(cut_plan::ScrapStrand) -> Recorded = cut_plan::scrap_strand;
    /// Keeps a length of a piece that was taken out, as an offcut.
    keep_offcut(cut_plan::KeepOffcut) -> Recorded = cut_plan::keep_offcut;
    /// Starts writing labels of the planned wires as a PDF: "A6 7235 A1:LH".
    start_labels(cut_plan::PrintLabels) -> tasks::TaskStarted => cut_plan::LabelsWritten = cut_plan::start_labels;
    /// Counts the parts of a job, each hand apart.
    take_off(jobs::OfJob) -> records::work::TakeOff = work::take_off;
    /// Proposes wires for a run from its rail, floor and rule set: number, heights, what is in hand.
    lay_out(laying::LayOut) -> records::work::LayoutProposals = laying::lay_out;
    /// Takes a proposal into the record as it was shown: number of wires and heights, in one act.
    take_layout(laying::TakeLayout) -> Recorded = laying::take_layout;
    /// Puts the holes of a run's end off the middle of their face, away from another run's, or back to it.
    put_aside(laying::PutAside) -> Recorded = laying::put_aside;
    /// Writes the full-size drilling template of a run's posts as a PDF and tells where it lies.
    drilling_template(laying::WriteTemplate) -> laying::TemplateWritten = laying::drilling_template;
    /// Copies a template or labels that were written to where the person finds them: a folder, or the
    /// device's own one for downloads.
    hand_out(written::HandOut) -> written::HandedOut = written::hand_out;
    /// Copies a document of the record there, once its bytes are those that were taken in.
    hand_out_document(written::HandOutDocument) -> written::HandedOut = written::hand_out_document;
    /// Lists the holes of a run, per post face.
    hole_schedule(work::OfRun) -> records::work::HoleSchedule = work::hole_schedule;
    /// Tells the readings of a run against its tensions.
    tensions(work::OfRun) -> records::work::Tensions = work::tensions;
    /// Tells how a run is brought to its set tension: passes with turns and flats, one pass or why
    /// not, and what is left to turn after what was read.
    tensioning(work::OfRun) -> records::work::Tensioning = turning::tensioning;
    /// Tells what friction leaves of a run's tension behind each corner, from–to, what the bays there
    /// may lack of what is required, and at which end to tension.
    corners(work::OfRun) -> records::work::Corners = turning::corners;
    /// Tells what a run is expected to lose later, when to come back, and which wires to turn then.
    recheck(work::OfRun) -> records::work::Recheck = turning::recheck;
    /// Tells how far the wires, bays and posts of a run have come.
    progress(work::OfRun) -> records::work::Progress = work::progress;
    /// Tells the next useful act of a job.
    next_act(work::AskNext) -> work::Next = work::next_act;
    /// Lists the evidence of a job: what is there, what stays away and why, what is missing.
    lacks(jobs::OfJob) -> records::work::Lacks = work::lacks;
    /// Ticks an act off for wires, in any order; cutting needs a release of each wire.
    tick_wires(cutting::TickWires) -> Recorded = cutting::tick_wires;
    /// Records a sample crimp that was pulled.
    add_sample_crimp(checks::AddSampleCrimp) -> Recorded = checks::add_sample_crimp;
    /// Records crimps as checked; a reject says why.
    check_crimps(checks::CheckCrimps) -> Recorded = checks::check_crimps;
    /// Records thread left, turns and marks of wires at one end.
    read_end(checks::ReadEnd) -> Recorded = checks::read_end;
    /// Records that a wire was turned in at both ends, each by its count, towards a tension.
    turn_wire(turning::TurnWire) -> Recorded = turning::turn_wire;
    /// Records how far a fitted wire is too long or too short, hand tight.
    read_out_by(trial::ReadOutBy) -> Recorded = trial::read_out_by;
    /// Records that a wire is made anew; cutting, crimps and readings begin again.
    remake_wire(checks::RemakeWire) -> Recorded = checks::remake_wire;
    /// Records a tension taken with a gauge; one above the upper tension is questioned.
    read_tension(checks::ReadTension) -> Recorded = checks::read_tension;
    /// Records the deflection of a wire under a hung mass at mid span.
    read_deflection(checks::ReadDeflection) -> Recorded = checks::read_deflection;
    /// Tells the tension that plucks or a swing speak of, as a guide, or why they tell none.
    hear(checks::Hear) -> records::work::Heard = checks::hear;
    /// Records a tension by sound or hung phone with its raw recordings; it counts against no table.
    keep_heard(checks::KeepHeard) -> checks::KeptHeard = checks::keep_heard;
    /// Compares the wires of a run by what was heard of them: which is tighter, which slacker.
    even_up(work::OfRun) -> records::work::EvenUp = checks::even_up;
    /// Records a gap check of a bay: all openings stop the probe, but for the exceptions.
    check_gaps(checks::CheckGaps) -> Recorded = checks::check_gaps;
    /// Takes a picture into the record: original, view and thumb, with time, place and what it shows.
    add_photo(pictures::AddPhoto) -> Recorded = pictures::add_photo;
    /// Takes any file into the record as a document.
    add_document(pictures::AddDocument) -> Recorded = pictures::add_document;
    /// Marks a copy of a picture with arrows, rings and words, in the place of all that is marked on it; no
    /// marks take them back. Its files keep their bytes.
    mark_picture(marks::MarkPicture) -> Recorded = marks::mark_picture;
    /// Ties a picture or document to what it shows, or unties it.
    tie_picture(pictures::TiePicture) -> Recorded = pictures::tie_picture;
    /// Records a person's statement on a stage, with the heads that it covers.
    sign_off(signing::SignStageOff) -> Recorded = signing::sign_off;
    /// Says why a piece of evidence stays away; documents print the reason.
    waive_evidence(signing::WaiveEvidence) -> Recorded = signing::waive_evidence;
    /// Starts writing a handover folder: document, data, books, originals, sums.
    start_handover(office::HandOver) -> tasks::TaskStarted => office::HandedOver = office::start_handover;
    /// Starts looking a folder over: this device's data, a shared folder or a handover. Ends with
    /// what is in it, or with the first fault, its kind and what to do.
    start_verify(verify::StartVerify) -> tasks::TaskStarted => verify::LookedOver = verify::start_verify;
    /// Tells the whole job as stable JSON, with the state's hash.
    read_state(jobs::OfJob) -> office::StateView = office::read_state;
    /// Deletes the index, makes it anew from the journal, and tells the hashes before and after.
    rebuild(Nothing) -> office::Rebuilt = office::rebuild;
    /// Makes a folder the shared folder of the current crew.
    share(exchange::OfFolder) -> Overview = exchange::share;
    /// Asks to join the crew of a folder and shows the digits to compare.
    join(exchange::Join) -> exchange::Digits = exchange::join;
    /// Confirms on the joining device that both screens show the same digits.
    confirm_join(exchange::ConfirmJoin) -> Overview = exchange::confirm_join;
    /// Lists devices in the shared folder that ask to be admitted, with the digits to compare: 32 at
    /// once, the next ones after the last that was listed.
    applicants(members::AskApplicants) -> members::Applicants = members::applicants;
    /// Admits a device whose digits were compared.
    admit(members::Admit) -> Overview = members::admit;
    /// Takes a new identity after this device's record went two ways, or can't go on; it must be
    /// admitted again. The only one who may admit goes on before what is damaged instead, on a yes.
    new_identity(members::NewIdentity) -> Overview = members::new_identity;
    /// Names a device of the crew a keeper, who may admit and end others; the founder alone can.
    name_keeper(members::OfDevice) -> Overview = members::name_keeper;
    /// Ends a device: what it recorded so far still counts, nothing after it.
    end_device(members::EndDevice) -> Overview = members::end_device;
    /// Chooses the crew whose jobs are shown and into which new ones go.
    choose_crew(members::OfCrew) -> Overview = members::choose_crew;
    /// Says which jobs exchanges bring here: every one of the crew, or those that were chosen.
    keep_jobs(exchange::KeepJobs) -> Overview = exchange::keep_jobs;
    /// Keeps a listed job on this device from the next exchange on.
    keep_job(jobs::OfJob) -> Overview = exchange::keep_job;
    /// Tells how the exchange stands, without looking at the folder.
    read_exchange(Nothing) -> exchange::ExchangeView = exchange::read_exchange;
    /// Starts an exchange with the shared folder; with `everything` also what lies there already is
    /// listed and read, and what was damaged there is written again beside it.
    start_sync(exchange::StartSync) -> tasks::TaskStarted => sync::Report = exchange::start_sync;
    /// Keeps a small text of the screens on this device, or forgets it; never part of the record.
    keep(kept::Keep) -> Nothing = kept::keep;
    /// Reads all that the screens keep on this device.
    read_kept(Nothing) -> kept::Kept = kept::read_kept;
    /// Waits for progress of long work and gives its state; with `seen` it waits until there is
    /// something newer or the time is over.
    task(tasks::TaskRequest) -> tasks::TaskState = tasks::task;
    /// Asks long work to end; it stops at its next safe point and keeps what is whole.
    cancel_task(tasks::CancelTask) -> tasks::TaskState = tasks::cancel_task;
    /// Takes in a piece of a picture or document as base64, where raw bytes can't be sent.
    add_piece(uploads::AddPiece) -> uploads::PieceAdded = uploads::add_piece;
    /// Forgets the pieces of an upload that will not be finished.
    drop_upload(uploads::DropUpload) -> Nothing = uploads::drop_upload;
}
