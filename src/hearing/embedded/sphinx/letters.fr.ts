/*
 * Pronunciations for French words that the dictionary lacks, in its own phones (those of the model "fr-fr"). French
 * is read from its letters with few exceptions; what the letters do not tell is whether a word in -ent is a verb
 * ("ils trempent", silent) or not ("médicament"), and that the dictionary knows by the word's other forms.
 */

type Lookup = (word: string) => string | undefined;

const V = 'aeiouyàâäéèêëîïôöùûü';
const C = 'bcçdfghjklmnpqrstvwxz';

/** Phones of a word ("ii nn aa ll aa tt oe rr"), likeliest first; empty when it has no letters to go by. */
export function pronounceFrench(word: string, lookup: Lookup): string[] {
  const own = names[word];
  if (own) return [own];
  if (!/^[a-zàâäçéèêëîïôöùûüœæ'-]+$/.test(word)) return [];
  const letters = word.replace(/['-]/g, '').replace(/œ/g, 'oe').replace(/æ/g, 'é').replace(/ñ/g, 'gn');
  if (letters === '') return [];
  const readings = /[^m]ent$/.test(letters)
    ? verbsInEnt(letters, lookup)
    : isVerb(letters, lookup)
      ? [asVerb(letters)]
      : [letters];
  const phones = readings.flatMap((reading) => {
    const sounds = spelled(reading);
    // "Rince" is said with or without its last e; "secouez" with three syllables or two.
    return [
      sounds,
      ...(/(?:[qg]u|[^aeiouyéèêëîï])es?$/.test(reading) ? [`${sounds} ee`] : []),
      ...(/ ou (?:ei|ai|aa|an|on)\b/.test(sounds)
        ? [sounds.replace(/ ou (ei|ai|aa|an|on)\b/, ' ww $1')]
        : []),
    ];
  });
  return [...new Set(phones)].filter((sounds) => sounds !== '');
}

/** The third person plural hides its ending; it sounds as the second singular does. */
const asVerb = (word: string): string => word.replace(/ent$/, 'es');

/** Is a word in -ent a verb, by its ending or by other forms that the dictionary has? */
function isVerb(word: string, lookup: Lookup): boolean {
  if (!/[^e]ment$|[^m]ent$/.test(word)) return false;
  const stem = word.slice(0, -3);
  if (/(?:ai|oi|iss|[èuîâû]r)$/.test(stem)) return true;
  return ['e', 'er', 'ez', 'ons', 're', 'ir'].some((ending) => lookup(stem + ending) !== undefined);
}

/** Of an unknown word in -ent both readings are kept, unless it must be a verb. */
function verbsInEnt(word: string, lookup: Lookup): string[] {
  return isVerb(word, lookup) ? [asVerb(word)] : [asVerb(word), word];
}

/** Words that are not read as French words are: reviewed one by one. */
const names: Readonly<Record<string, string>> = {
  covid: 'kk oo vv ii dd',
  okay: 'oo kk ei',
  pschitt: 'pp ch ii tt',
  puff: 'pp oe ff',
  puffer: 'pp oe ff oe rr',
  puffs: 'pp oe ff',
  shaker: 'ch ai kk oe rr',
  spacer: 'ss pp ei ss oe rr',
  stick: 'ss tt ii kk',
  switch: 'ss ww ii tt ch',
  vaseline: 'vv aa zz ll ii nn',
};

const rule = (letters: string, phones: string): [RegExp, string] => [
  new RegExp(letters.replaceAll('[V', `[${V}`).replaceAll('V', `[${V}]`).replaceAll('C', `[${C}]`), 'y'),
  phones,
];

/** The first that fits is taken. `V` is any vowel, `C` any consonant. */
const rules: [RegExp, string][] = [
  // Endings.
  rule('aient$', 'ai'),
  rule('(?<=V.*)(?<=C)es?$', ''),
  rule('(?<=[éiuyo]|ai|oi|ou|eu)es?$', ''),
  rule('(?<=[iu])e(?=r(?:a[is]?|as|ons?|ont|ez|i?ons|iez|aient|ait|ais)$)', ''),
  rule('(?<=V.*C)iers?$', 'yy ei'),
  rule('(?<=V.*)e(?:rs?|z)$', 'ei'),
  rule('(?<=V.*)ets?$', 'ai'),
  rule('(?<=C)(?:ed|ez)s?$', 'ei'),
  rule('(?<=[aeo])cts?$', 'kk tt'),
  rule('(?<=[aeiou])sts?$', 'ss tt'),
  rule('(?<=[aeio])pts?$', 'pp tt'),
  rule('(?<=V.*)ums?$', 'oo mm'),
  rule('gts?$', ''),
  rule('(?<=[nr])[dtgpc]s?$', ''),
  rule('[dtpsxz]+$', ''),
  // Semivowels and double letters that are one sound.
  rule('oin(?![Vn])', 'ww in'),
  rule('oy(?=V)', 'ww aa yy'),
  rule('uy(?=V)', 'uy ii yy'),
  rule('ay(?=V)', 'ai yy'),
  rule('ey(?=V)', 'ai yy'),
  rule('o[iîy]', 'ww aa'),
  rule('oê', 'ww aa'),
  rule('aill|ail(?=s?$)', 'aa yy'),
  rule('eill|eil(?=s?$)', 'ai yy'),
  rule('(?:(?<=[cg])ue|eu|oeu|oe)il(?=s?$)', 'oe yy'),
  rule('(?:(?<=[cg])ue|eu|oeu|oe)ill(?=es?$)', 'oe yy'),
  rule('(?:(?<=[cg])ue|eu|oeu|oe)ill', 'ee yy'),
  rule('ouill|ouil(?=s?$)', 'ou yy'),
  rule('(?<=^|v|m|st)ill', 'ii ll'),
  rule('ill(?=V)', 'ii yy'),
  rule('ou(?=ette|an|es[tp]|i(?!C*e?s?$|l))', 'ww'),
  rule('o[uùû]', 'ou'),
  rule('eau(?=[tdx]?s?$)', 'au'),
  rule('eau', 'oo'),
  rule('au(?=[tdx]?s?$|(?:ss?|[tdlvf]|ch)es?$)', 'au'),
  rule('au', 'oo'),
  rule('ein(?![Vn])|ain(?![Vn])|aim(?![Vm])', 'in'),
  rule('a[iîy]|e[iîy]', 'ai'),
  rule('o?e[uû](?=[tx]?s?$|ses?$)', 'eu'),
  rule('o?e[uû](?=(?:[rlfvpn]|bl|vr)e?s?$)', 'oe'),
  rule('o?e[uû]', 'ee'),
  // Nasal vowels: not before a vowel or a second n or m.
  rule('(?<=[iyé])en(?=s?$|dr)', 'in'),
  rule('^emm(?=V)', 'an mm'),
  rule('^enn(?=V)', 'an nn'),
  rule('emm(?=ent$)', 'aa mm'),
  rule('e[nm](?![Vnm])', 'an'),
  rule('a[nm](?![Vnmh])', 'an'),
  rule('[iîyï][nm](?![Vnmh])', 'in'),
  rule('ompt', 'on tt'),
  rule('o[nm](?![Vnmh])', 'on'),
  rule('u[nm](?![Vnmh])', 'un'),
  // Vowels.
  rule('é(?=e?s?$)', 'ei'),
  rule('[éèêë]', 'ai'),
  rule('^ress', 'rr ee ss'),
  rule('e(?=x)', 'ai'),
  rule('e(?=(?:[bcdfgptv][lr]|ch|ph|th|gn|C)V)', 'ee'),
  rule('e(?=CC|C$)', 'ai'),
  rule('e', 'ee'),
  rule('[ôö](?!C?s?$)', 'au'),
  rule('ô', 'au'),
  rule('o(?=[tsp]?s?$|ses?$)', 'au'),
  rule('o', 'oo'),
  rule('[aàâä]', 'aa'),
  rule('(?<=^|V)y(?=V)', 'yy'),
  rule('(?<=[bcdfgptv][lr])[iy](?=[aâoéèê]|e(?!s?$|nt$))', 'ii yy'),
  rule('[iyï](?=[aâoéèêu]|e(?!s?$|nt$))', 'yy'),
  rule('[iîïy]', 'ii'),
  rule('u(?=i)', 'uy'),
  rule('[uùûü]', 'uu'),
  // Consonants.
  rule('bb?', 'bb'),
  rule('sch|sh', 'ch'),
  rule('sc(?=[eiyéèêî])', 'ss'),
  rule('cc(?=[eiyéèêî])', 'kk ss'),
  rule('ch(?=[rlnt])', 'kk'),
  rule('ch', 'ch'),
  rule('cqu', 'kk'),
  rule('c(?=[eiyéèêî])|ç', 'ss'),
  rule('c[ck]?|kk?|q(?:u(?=V))?', 'kk'),
  rule('dd?', 'dd'),
  rule('ff?|ph', 'ff'),
  rule('gn', 'gn'),
  rule('ge(?=[aoâô])', 'jj'),
  rule('gg(?=[eiyéèêî])', 'gg jj'),
  rule('g(?=[eiyéèêî])|j', 'jj'),
  rule('gu(?=[eiyéèêîaoâ])|gg?', 'gg'),
  rule('h', ''),
  rule('ll?', 'll'),
  rule('mm?', 'mm'),
  rule('nn?', 'nn'),
  rule('pp?', 'pp'),
  rule('rr?h?', 'rr'),
  rule('ss', 'ss'),
  rule('(?<=V)s(?=V)|(?<=tran)s(?=V)', 'zz'),
  rule('s', 'ss'),
  rule('(?<!s)t(?=ion|iel|ial|iaux|ieu|ien[ct])', 'ss'),
  rule('tt?h?', 'tt'),
  rule('v', 'vv'),
  rule('w', 'ww'),
  rule('(?<=eu|i)x(?=i[èe]m)', 'zz'),
  rule('xc(?=[eiyéèêî])', 'kk ss'),
  rule('(?<=^e|^)x(?=h?V)', 'gg zz'),
  rule('x', 'kk ss'),
  rule('zz?', 'zz'),
];

function spelled(word: string): string {
  const phones: string[] = [];
  let at = 0;
  while (at < word.length) {
    const rule = rules.find(([letters]) => {
      letters.lastIndex = at;
      return letters.test(word);
    });
    if (rule?.[1]) phones.push(rule[1]);
    at = rule ? rule[0].lastIndex : at + 1;
  }
  return phones.join(' ');
}
