import { appendFileSync } from 'node:fs';

/** What a bench found, for people and for `npm run bench`, which gathers it. */
export interface Figure {
  what: string;
  /** Left out: a goal that is told in words. */
  value?: number;
  unit?: string;
  goal?: string;
  met?: boolean;
}

/** Where `npm run bench` wants each figure as a line of JSON. */
const gathered = process.env.OWNWORDS_FIGURES;

function give(found: Figure): void {
  if (found.met === false) process.exitCode = 1;
  if (gathered) appendFileSync(gathered, `${JSON.stringify(found)}\n`);
}

/** A goal in words, met or not; exit status 1 when not. */
export function goal(what: string, met: boolean): void {
  console.log(`  ${met ? 'met   ' : 'MISSED'}  ${what}`);
  give({ what, met });
}

/** A figure that is printed already. */
export function figure(what: string, value: number, unit: string): void {
  give({ what, value, unit });
}

/** A figure with its goal; printed, exit status 1 when it is missed. */
export function against(
  what: string,
  value: number,
  unit: string,
  limit: { atMost: number } | { atLeast: number },
): void {
  const [most, least] =
    'atMost' in limit ? [limit.atMost, Number.NEGATIVE_INFINITY] : [Number.POSITIVE_INFINITY, limit.atLeast];
  const asked = 'atMost' in limit ? `at most ${limit.atMost} ${unit}` : `at least ${limit.atLeast} ${unit}`;
  const met = value <= most && value >= least;
  console.log(`  ${met ? 'met   ' : 'MISSED'}  ${what}: ${shown(value)} ${unit} (${asked.trim()})`);
  give({ what, value, unit, goal: asked.trim(), met });
}

/** Three digits that count. */
export const shown = (value: number): string =>
  Number.isInteger(value) || Math.abs(value) >= 100 ? String(Math.round(value)) : value.toPrecision(3);

/** A share as a percentage to be read. */
export const percent = (part: number, whole: number): string => `${((100 * part) / whole).toFixed(1)} %`;
