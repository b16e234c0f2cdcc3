import { everydayEnglish } from './everyday.en';
import type { EarLanguage } from './language';
import { pronounce } from './letters.en';
import { tokens } from './tokens';
import { everydayVocabulary } from './vocabulary.en';

export const english: EarLanguage = {
  phones:
    'AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH'.split(
      ' ',
    ),
  tokens,
  everyday: everydayEnglish,
  vocabulary: everydayVocabulary,
  pronounce(word, lookup) {
    const phones = pronounce(word, lookup);
    return phones === undefined ? [] : [phones];
  },
  joins: () => false,
};
