import type { VisitStart } from './types';

// C0 and C1 controls (tabs and line ends among them), line separators, and the marks that turn the direction
// of writing: in a name or a transcript they could fake a line of the note.
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what has to go
const unseen = /[\u0000-\u001f\u007f-\u009f\u200e\u200f\u2028-\u202e\u2066-\u2069\ufeff]+/g;

/** One line of plain text. Markup stays what it is: characters. */
export function oneLine(text: string): string {
  return text.replace(unseen, ' ').replace(/ {2,}/g, ' ').trim();
}

/** Fills the slots of phrasebanks/schema.ts; an unknown slot stays visible. */
export function fill(text: string, start: VisitStart | null): string {
  if (!start) return text;
  const slots: Record<string, string> = start.particulars;
  return text.replace(/\{(\w+)\}/g, (slot, name: string) =>
    Object.hasOwn(slots, name) ? oneLine(slots[name] ?? '') : slot,
  );
}
