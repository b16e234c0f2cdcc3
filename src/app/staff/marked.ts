import type { Span } from '../../scoring/types';

/** A stretch of a text, and whether it is marked. */
export interface Stretch {
  text: string;
  marked: boolean;
}

/** A text cut at the edges of its spans, which may overlap, touch or run over its ends. Nothing of it is lost. */
export function marked(text: string, spans: readonly Span[]): Stretch[] {
  const stretches: Stretch[] = [];
  let from = 0;
  const take = (to: number, isMarked: boolean) => {
    if (to > from) stretches.push({ text: text.slice(from, to), marked: isMarked });
    from = Math.max(from, to);
  };
  for (const { start, end } of [...spans].sort((a, b) => a.start - b.start || a.end - b.end)) {
    take(Math.min(start, text.length), false);
    const before = stretches.at(-1);
    const to = Math.min(end, text.length);
    // Two that touch are one.
    if (before?.marked && to > from) {
      before.text += text.slice(from, to);
      from = to;
    } else take(to, true);
  }
  take(text.length, false);
  return stretches;
}
