/** Fills the slots of a pattern, written in braces: as many sentences as its largest slot, the others going round. */
export function fillSlots(pattern: string, slots: Readonly<Record<string, readonly string[]>>): string[] {
  const names = [...pattern.matchAll(/\{(\w+)\}/g)].map((match) => match[1]!);
  if (names.length === 0) return [pattern];
  const lists = names.map((name) => slots[name] ?? []);
  const most = Math.max(...lists.map((list) => list.length));
  // Two rounds with different steps, so that neighbours in the pattern meet more than one partner.
  const sentences: string[] = [];
  for (const turn of [0, 1, 2]) {
    for (let i = 0; i < most; i++) {
      let slot = 0;
      sentences.push(
        pattern.replace(/\{\w+\}/g, () => {
          const list = lists[slot]!;
          const word = list[(i + turn * slot * 7 + slot * i * turn) % list.length]!;
          slot++;
          return word;
        }),
      );
    }
  }
  return sentences;
}
