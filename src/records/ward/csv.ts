/*
 * Tables as text: RFC 4180, UTF-8. A cell in which a spreadsheet would see a formula begins with an apostrophe, as is
 * common practice (OWASP, "CSV Injection"). Numbers stay numbers.
 */

export type Cell = string | number | null;

const formula = /^[=+\-@\t\r\n＝＋－＠]/;

function coded(cell: Cell): string {
  if (cell === null) return '';
  if (typeof cell === 'number') return String(cell);
  const safe = formula.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/** A record a line, each ended by CR and LF; the first one names the columns. */
export const csv = (head: readonly string[], rows: readonly (readonly Cell[])[]): string =>
  [head, ...rows].map((row) => `${row.map(coded).join(',')}\r\n`).join('');
