import { everydayFrench } from './everyday.fr';
import type { EarLanguage } from './language';
import { pronounceFrench } from './letters.fr';
import { frenchTokens, isElided } from './tokens.fr';
import { everydayVocabulary } from './vocabulary.fr';

export const french: EarLanguage = {
  phones:
    'aa ai an au bb ch dd ee ei eu ff gg gn ii in jj kk ll mm nn oe on oo ou pp rr ss tt un uu uy vv ww yy zz'.split(
      ' ',
    ),
  tokens: frenchTokens,
  everyday: everydayFrench,
  vocabulary: everydayVocabulary,
  pronounce: pronounceFrench,
  joins: isElided,
};
