import { existsSync, readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { tokens } from '../../src/hearing/embedded/tokens';
import { outsideText } from './outside-data';

const home = fileURLToPath(new URL('../../../shared/datasets/speech/', import.meta.url));

/** Speech of people that has nothing to do with any lesson; origins and licences stand beside the data. */
export const speechSets = ['read_en', 'speechocean762', 'fsdd', 'asterisk'] as const;
export type SpeechSet = (typeof speechSets)[number];

export interface Clip {
  set: SpeechSet;
  /** Where the clip comes from, within its set. */
  origin: string;
  name: string;
  file: string;
  /** What is said, as words. */
  said: string[];
}

const digits = 'zero one two three four five six seven eight nine'.split(' ');

/** What is said in each file, [name, text, origin]; null when the list is not there. */
function listed(set: SpeechSet): [name: string, text: string, origin: string][] | null {
  if (set === 'fsdd') {
    const folder = `${home}fsdd`;
    if (!existsSync(folder)) return null;
    return readdirSync(folder)
      .filter((name) => /^\d_\w+_\d+\.wav$/.test(name))
      .sort()
      .map((name) => [name, digits[Number(name[0])]!, name.split('_')[1]!]);
  }
  const rows = outsideText(`speech/${set}/transcripts.tsv`)
    ?.trim()
    .split(/\r?\n/)
    .slice(1)
    .map((line) => line.split('\t'));
  if (!rows) return null;
  const named = rows.map(([name = '', ...cells]): [string, string, string] => {
    if (set === 'speechocean762')
      return [`${name}.wav`, cells.at(-1) ?? '', Number(cells[1]) < 18 ? 'child' : 'adult'];
    // One set of clips a name: "sense_and_sensibility", "cards", "cmu_arctic", ...
    return [
      name,
      cells.at(-1) ?? '',
      set === 'asterisk' ? name.slice(0, 2) : /^[a-z_]*[a-z]/i.exec(name)![0],
    ];
  });
  return set === 'asterisk' ? named.filter(([name]) => name.startsWith('en/')) : named;
}

/** The clips of a set, English only; a reason instead when they, or some of them, are not there. */
export function clipsOf(set: SpeechSet): { clips: Clip[]; absent: string } {
  const rows = listed(set);
  if (!rows) return { clips: [], absent: `${set}: not in ../shared/datasets/speech, left out` };
  const all = rows.map(
    ([name, text, origin]): Clip => ({
      set,
      origin,
      name,
      file: `${home}${set}/${name}`,
      said: tokens(text),
    }),
  );
  const clips = all.filter(({ file }) => existsSync(file));
  const lost = all.filter(({ file }) => !existsSync(file)).map(({ name }) => name);
  return { clips, absent: lost.length > 0 ? `${set}: listed but not there: ${lost.join(', ')}` : '' };
}
