// Stands in for the generated types until they exist.

export interface Commands {
  [name: string]: { request: unknown; answer: unknown };
}
