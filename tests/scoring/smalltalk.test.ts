import { describe, expect, it } from 'vitest';
import { creditedStrangers, creditedTalk, smallTalk } from '../bench/smalltalk';

const atMost = 0.003;

describe('small talk', () => {
  it('holds 300 different sentences', () => {
    expect(new Set(smallTalk()).size).toBe(300);
  });

  it('earns next to nothing in any step', () => {
    const { judged, credited } = creditedTalk();
    expect(judged).toBeGreaterThan(15_000);
    expect(credited.length / judged, JSON.stringify(credited, null, 1)).toBeLessThanOrEqual(atMost);
  });

  it('earns next to nothing together with the answers to other modules', () => {
    const parts = [creditedTalk(), creditedStrangers()];
    const judged = parts.reduce((total, part) => total + part.judged, 0);
    const credited = parts.flatMap((part) => part.credited);
    expect(credited.length / judged, JSON.stringify(credited, null, 1)).toBeLessThanOrEqual(atMost);
  });
});
