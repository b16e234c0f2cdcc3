import Fuse from 'fuse.js';
import { token_set_ratio } from 'fuzzball';
import jaroWinkler from 'jaro-winkler';
import { compareTwoStrings } from 'string-similarity';
import { type Label, languagePack } from '../../src/scoring';
import { normalize } from '../../src/scoring/normalize';
import { kappa } from './agreement';

/*
 * Yardsticks that know nothing of language, put to the same task: the nearest right sentence and the nearest
 * mistake of a concept, 0..1, then thresholds. fuzzball (MIT), fuse.js (Apache-2.0), string-similarity (MIT),
 * jaro-winkler (MIT).
 */

const pack = languagePack('en')!;
const stop = new Set(pack.stopWords);

export type Peer = (text: string, phrases: readonly string[]) => number;

export const peers: Record<string, Peer> = {
  'word coverage': (text, phrases) => {
    const said = new Set(normalize(text, pack).map((token) => token.stem));
    return Math.max(
      ...phrases.map((phrase) => {
        const words = normalize(phrase, pack).filter((token) => !stop.has(token.word));
        return words.length ? words.filter((token) => said.has(token.stem)).length / words.length : 0;
      }),
    );
  },
  'string-similarity': (text, phrases) =>
    Math.max(...phrases.map((phrase) => compareTwoStrings(text.toLowerCase(), phrase.toLowerCase()))),
  'fuzzball token_set_ratio': (text, phrases) =>
    Math.max(...phrases.map((phrase) => token_set_ratio(text, phrase) / 100)),
  // Word by word: each word of the phrase beside the likest word of the answer.
  'Jaro-Winkler of words': (text, phrases) => {
    const said = [
      ...new Set(
        text
          .toLowerCase()
          .split(/[^\p{L}\p{N}']+/u)
          .filter(Boolean),
      ),
    ];
    if (said.length === 0) return 0;
    const likest = new Map<string, number>();
    const like = (word: string) => {
      const known = likest.get(word) ?? Math.max(...said.map((other) => jaroWinkler(word, other)));
      likest.set(word, known);
      return known;
    };
    return Math.max(
      ...phrases.map((phrase) => {
        const words = phrase
          .toLowerCase()
          .split(/[^\p{L}\p{N}']+/u)
          .filter(Boolean);
        return words.reduce((sum, word) => sum + like(word), 0) / (words.length || 1);
      }),
    );
  },
  // The phrase is looked for anywhere in the answer: the other way round it finds less (kappa 0.20 on the author set).
  'fuse.js': (text, phrases) => {
    const fuse = new Fuse([text], { includeScore: true, ignoreLocation: true, threshold: 1 });
    return Math.max(...phrases.map((phrase) => 1 - (fuse.search(phrase)[0]?.score ?? 1)));
  },
};

/** One concept of one answer as a peer sees it. */
export interface Scored {
  truth: Label;
  right: number;
  wrong: number;
}

export type Thresholds = [high: number, low: number, margin: number];

export const byThreshold = (item: Scored, [high, low, margin]: Thresholds): Label =>
  item.wrong > item.right + margin && item.wrong >= low
    ? 'misconception'
    : item.right >= high
      ? 'understood'
      : item.right >= low
        ? 'partial'
        : 'missed';

/** Thresholds with the best kappa on these. */
export function tune(items: readonly Scored[]): Thresholds {
  let best: Thresholds = [1, 1, 1];
  let most = Number.NEGATIVE_INFINITY;
  for (let high = 0.1; high <= 1; high += 0.05)
    for (let low = 0.05; low <= high; low += 0.05)
      for (const margin of [0, 0.05, 0.1, 0.2, 1]) {
        const value = kappa(items.map((item) => [item.truth, byThreshold(item, [high, low, margin])]));
        if (value > most) {
          most = value;
          best = [high, low, margin];
        }
      }
  return best;
}
