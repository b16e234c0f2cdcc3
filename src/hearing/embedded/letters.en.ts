/*
 * Pronunciations for words that the dictionary lacks, in its own phones (ARPAbet as in the CMU Pronouncing
 * Dictionary). Endings and compounds of known words first, because they are nearly always right; then plain
 * rules of English spelling, which are right often enough to be heard at all.
 */

type Lookup = (word: string) => string | undefined;

const VOICELESS = new Set(['P', 'T', 'K', 'F', 'TH']);
const HISSING = new Set(['S', 'Z', 'SH', 'ZH', 'CH', 'JH']);

/** Phones of a word ("G AA R G AH L"), or undefined when it has no letters to go by. */
export function pronounce(word: string, lookup: Lookup): string | undefined {
  if (!/^[a-z']+$/.test(word)) return undefined;
  return inflected(word, lookup) ?? compound(word, lookup) ?? spelled(word);
}

function inflected(word: string, lookup: Lookup): string | undefined {
  for (const [ending, add] of endings) {
    if (!word.endsWith(ending) || word.length < ending.length + 3) continue;
    const stem = word.slice(0, -ending.length);
    for (const base of bases(stem, ending)) {
      const phones = lookup(base);
      if (phones) return `${phones} ${add(phones.split(' ').at(-1) ?? '')}`;
    }
  }
  return undefined;
}

const endings: [string, (last: string) => string][] = [
  ["'s", plural],
  ['s', plural],
  [
    'ed',
    (last) => (last === 'T' || last === 'D' ? 'IH D' : VOICELESS.has(last) || HISSING.has(last) ? 'T' : 'D'),
  ],
  ["in'", () => 'IH N'],
  ['ing', () => 'IH NG'],
  ['in', () => 'IH N'],
  ['er', () => 'ER'],
  ['ly', () => 'L IY'],
  ['y', () => 'IY'],
  ['ness', () => 'N AH S'],
  ['less', () => 'L AH S'],
  ['ful', () => 'F AH L'],
];

function plural(last: string): string {
  return HISSING.has(last) ? 'IH Z' : VOICELESS.has(last) ? 'S' : 'Z';
}

/** Words that the ending may hang on, most likely first: "hoping" is hope, "hopping" is hop. */
function bases(stem: string, ending: string): string[] {
  const list = /^[aeiy]/.test(ending) ? [`${stem}e`, stem] : [stem];
  if (/([b-df-hj-np-tv-z])\1$/.test(stem)) list.push(stem.slice(0, -1));
  if (stem.endsWith('i')) list.push(`${stem.slice(0, -1)}y`);
  if (ending === 's' && stem.endsWith('e')) list.push(stem.slice(0, -1));
  return list;
}

/** Two known words written as one, or a known word behind "un" or "re". */
function compound(word: string, lookup: Lookup): string | undefined {
  for (const [prefix, phones] of [
    ['un', 'AH N'],
    ['re', 'R IY'],
  ] as const) {
    const rest = word.slice(prefix.length);
    const known = word.startsWith(prefix) && rest.length >= 3 && (lookup(rest) ?? inflected(rest, lookup));
    if (known) return `${phones} ${known}`;
  }
  // From the longest first part down, so that "mouthpiece" is not split after "mo".
  for (let cut = word.length - 3; cut >= 3; cut--) {
    const first = lookup(word.slice(0, cut));
    const second = lookup(word.slice(cut));
    if (first && second) return `${first} ${second}`;
  }
  return undefined;
}

/** Longest spelling first. `$` marks the end of a word, `^` its start. */
const rules: [RegExp, string][] = [
  [/^\^kn/, 'N'],
  [/^\^wr/, 'R'],
  [/^\^x/, 'Z'],
  [/^tion/, 'SH AH N'],
  [/^sion/, 'ZH AH N'],
  [/^ture/, 'CH ER'],
  [/^ight/, 'AY T'],
  [/^ough/, 'AO'],
  [/^augh/, 'AO'],
  [/^eigh/, 'EY'],
  [/^tch/, 'CH'],
  [/^dge/, 'JH'],
  [/^air/, 'EH R'],
  [/^ear/, 'IH R'],
  [/^eer/, 'IH R'],
  [/^oor/, 'AO R'],
  [/^our/, 'AW ER'],
  [/^igh/, 'AY'],
  [/^sch/, 'S K'],
  [/^qu/, 'K W'],
  [/^ch/, 'CH'],
  [/^sh/, 'SH'],
  [/^th/, 'TH'],
  [/^ph/, 'F'],
  [/^wh/, 'W'],
  [/^gh/, ''],
  [/^ck/, 'K'],
  [/^ng(?=\$)/, 'NG'],
  [/^nk/, 'NG K'],
  [/^ee/, 'IY'],
  [/^ea/, 'IY'],
  [/^oo/, 'UW'],
  [/^oa/, 'OW'],
  [/^oi/, 'OY'],
  [/^oy/, 'OY'],
  [/^ou/, 'AW'],
  [/^ow/, 'OW'],
  [/^ai/, 'EY'],
  [/^ay/, 'EY'],
  [/^au/, 'AO'],
  [/^aw/, 'AO'],
  [/^ey/, 'IY'],
  [/^ie/, 'IY'],
  [/^ue/, 'UW'],
  [/^ew/, 'UW'],
  [/^ar/, 'AA R'],
  [/^er/, 'ER'],
  [/^ir/, 'ER'],
  [/^ur/, 'ER'],
  [/^or/, 'AO R'],
  [/^le(?=s?\$)/, 'AH L'],
  [/^a(?=[b-df-hj-np-tv-z]e\$)/, 'EY'],
  [/^i(?=[b-df-hj-np-tv-z]e\$)/, 'AY'],
  [/^o(?=[b-df-hj-np-tv-z]e\$)/, 'OW'],
  [/^u(?=[b-df-hj-np-tv-z]e\$)/, 'UW'],
  [/^e(?=[b-df-hj-np-tv-z]e\$)/, 'IY'],
  [/^e\$/, ''],
  [/^y\$/, 'IY'],
  [/^o\$/, 'OW'],
  [/^a\$/, 'AH'],
  [/^i\$/, 'IY'],
  [/^c(?=[eiy])/, 'S'],
  [/^g(?=[eiy])/, 'JH'],
  [/^([b-df-hj-np-tv-z])\1/, ''], // doubled: the second one speaks
];
const single: Record<string, string> = {
  a: 'AE',
  b: 'B',
  c: 'K',
  d: 'D',
  e: 'EH',
  f: 'F',
  g: 'G',
  h: 'HH',
  i: 'IH',
  j: 'JH',
  k: 'K',
  l: 'L',
  m: 'M',
  n: 'N',
  o: 'AA',
  p: 'P',
  q: 'K',
  r: 'R',
  s: 'S',
  t: 'T',
  u: 'AH',
  v: 'V',
  w: 'W',
  x: 'K S',
  y: 'IH',
  z: 'Z',
};

function spelled(word: string): string | undefined {
  let rest = `^${word.replace(/'/g, '')}$`;
  const phones: string[] = [];
  while (rest !== '' && rest !== '$') {
    const rule = rules.find(([spelling]) => spelling.test(rest));
    if (rule) {
      const matched = rule[0].exec(rest)?.[0] ?? '';
      if (rule[1]) phones.push(rule[1]);
      // Of a doubled consonant one letter stays to be said.
      rest = rest.slice(rule[0].source.includes('\\1') ? 1 : matched.length);
    } else {
      const phone = single[rest[0] ?? ''];
      if (phone) phones.push(phone);
      rest = rest.slice(1);
    }
  }
  return phones.length > 0 ? phones.join(' ') : undefined;
}
