// Made by `cargo xtask gen` from the list of commands; what is edited here is lost.

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
 * Which task to end.
 */
export type CancelTask = { 
/**
 * The task's id.
 */
task: string, };

/**
 * Which upload to forget.
 */
export type DropUpload = { 
/**
 * The upload's name.
 */
upload: string, };

/**
 * Kinds of failure; one exists only where a caller does something different on it.
 */
export type ErrorCode = "unknownCommand" | "invalid" | "questioned" | "notFound" | "disputed" | "locked" | "newer" | "storage" | "cancelled" | "fault" | "internal";

/**
 * The request or answer that says nothing: `{}`.
 */
export type Nothing = Record<symbol, never>;

/**
 * How long an upload is now.
 */
export type PieceAdded = { 
/**
 * Bytes taken in so far.
 */
bytes: number, };

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

/** Every command: what it takes and what it gives. */
export interface Commands {
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
