// How a table sorts, and what of it is copied: figures are told as people read them, and compared as numbers. Pure.
import { withoutMarks } from './digits';

/** What a cell says. */
export type Cell = string | number | boolean | undefined;

/** The number that a cell begins with: `287 3/16`, `14 500`, `−0,5`, `76–912`. `sign` is what stands before the tenths. */
export function figureOf(cell: Cell, sign: string): number | undefined {
  if (typeof cell === 'number') return cell;
  const text = withoutMarks(String(cell ?? '')).trim();
  const below = /^[-−]/.test(text) ? -1 : 1;
  const bare = text.replace(/^[-−+]\s*/, '');
  const parts = /^(?:(\d+)\s)?(\d+)\/(\d+)/.exec(bare);
  if (parts) return below * (Number(parts[1] ?? 0) + Number(parts[2]) / Number(parts[3]));
  // Thousands stand apart by a sign or a blank that no line breaks at.
  const digits = /^\d[\d.,'’\u00a0\u202f]*/.exec(bare)?.[0];
  if (digits === undefined) return undefined;
  const [whole = '', tenths = ''] = digits.split(sign);
  return below * Number(`${whole.replace(/\D/g, '')}.${tenths.replace(/\D/g, '') || '0'}`);
}

/** Figures by size, words as people order them, with `A2` before `A10`; what says nothing stands last, whichever way is up. */
export function inOrderOf(a: Cell, b: Cell, number: boolean, up: boolean, sign: string): number {
  const empty = (cell: Cell) => cell === undefined || cell === '';
  if (empty(a) || empty(b)) return Number(empty(a)) - Number(empty(b));
  const [x, y] = number ? [figureOf(a, sign), figureOf(b, sign)] : [];
  const way = up ? 1 : -1;
  if (x !== undefined && y !== undefined) return (x - y) * way;
  if (number && (x === undefined) !== (y === undefined)) return x === undefined ? 1 : -1;
  return String(a).localeCompare(String(b), undefined, { numeric: true }) * way;
}

/** One line a row, a tab between cells: what a spreadsheet takes. Places where a line may break and unseen marks stay behind. */
export function tabbed(lines: { text: Cell; number?: boolean }[][]): string {
  const plain = ({ text, number }: { text: Cell; number?: boolean }) => {
    const said = withoutMarks(String(text ?? '')).replace(/\u200b/g, '').replace(/\s+/g, ' ').trim();
    return number ? said.replace(/^−/, '-') : said;
  };
  return `${lines.map((cells) => cells.map(plain).join('\t')).join('\n')}\n`;
}
