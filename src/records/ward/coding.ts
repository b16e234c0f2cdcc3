import * as z from 'zod/mini';
import { outcomes } from '../derive';
import { type Digest, firsts } from './digest';

/*
 * Digests as bytes: JSON in which a point is five numbers, because 5,000 visits have 100,000 points.
 */

const whole = z.int();
/** Half a million numbers: checked by hand, as a schema for each would take a tenth of a second. */
const wholes = z.custom<number[]>((list) => Array.isArray(list) && list.every(Number.isInteger));
const codedSchema = z.strictObject({
  /** What they were made by: another one, and they are made anew. */
  basis: z.string(),
  concepts: z.array(z.string()),
  visits: z.array(
    z.union([
      z.tuple([z.uuid(), whole, z.iso.datetime(), z.string(), z.string(), z.string(), z.boolean(), wholes]),
      z.tuple([z.uuid(), whole, z.string()]),
    ]),
  ),
});

/** Of a point: concept, first, outcome, tries, retaught; -1 stands for null. */
const width = 5;

export function toBytes(basis: string, digests: readonly Digest[]): Uint8Array<ArrayBuffer> {
  const concepts = new Map<string, number>();
  const numberOf = (concept: string) => {
    if (!concepts.has(concept)) concepts.set(concept, concepts.size);
    return concepts.get(concept)!;
  };
  const visits = digests.map((digest) => {
    if ('why' in digest) return [digest.visit, digest.events, digest.why];
    const { visit, events, at, module, version, language, recheck, points } = digest;
    const numbers = points.flatMap(({ concept, first, outcome, tries, retaught }) => [
      numberOf(concept),
      first ? firsts.indexOf(first) : -1,
      outcomes.indexOf(outcome),
      tries ?? -1,
      retaught,
    ]);
    return [visit, events, at, module, version, language, recheck, numbers];
  });
  return new TextEncoder().encode(JSON.stringify({ basis, concepts: [...concepts.keys()], visits }));
}

/** null: they are no digests, or were made by something else. */
export function fromBytes(basis: string, bytes: Uint8Array): Digest[] | null {
  try {
    const coded = codedSchema.parse(JSON.parse(new TextDecoder().decode(bytes)));
    if (coded.basis !== basis) return null;
    const { concepts } = coded;
    return coded.visits.map((row) => {
      if (row.length === 3) return { visit: row[0], events: row[1], why: row[2] };
      const [visit, events, at, module, version, language, recheck, numbers] = row;
      const points = Array.from({ length: numbers.length / width }, (_, index) => {
        const [concept, first, outcome, tries, retaught] = numbers.slice(width * index, width * (index + 1));
        return {
          concept: known(concepts, concept),
          first: first === -1 ? null : known(firsts, first),
          outcome: known(outcomes, outcome),
          tries: tries === -1 ? null : tries!,
          retaught: retaught!,
        };
      });
      return { visit, events, at, module, version, language, recheck, points };
    });
  } catch {
    return null;
  }
}

function known<T>(list: readonly T[], index: number | undefined): T {
  const found = list[index ?? -1];
  if (found === undefined) throw new Error('it names what is not there');
  return found;
}
