import { describe, expect, it } from 'vitest';
import { judgedMistakes } from '../bench/mistakes';

const rows = judgedMistakes();
const share = (label: string, judged: string) => {
  const those = rows.filter((row) => row.label === label);
  const hit = those.filter((row) => row.finding.label === judged);
  return { count: those.length, share: hit.length / those.length, texts: hit.map((row) => row.text) };
};

describe('answers with a mistake in them', () => {
  it('hold one of every concept and hundreds in all', () => {
    expect(share('misconception', 'understood').count).toBeGreaterThan(200);
    expect(new Set(rows.filter((row) => row.label === 'misconception').map((row) => row.concept)).size).toBe(
      57,
    );
  });

  it('are passed as understood at most once in a hundred times', () => {
    const passed = share('misconception', 'understood');
    expect(passed.share, passed.texts.join('\n')).toBeLessThanOrEqual(0.01);
  });

  it('are called what they are nearly always', () => {
    expect(share('misconception', 'misconception').share).toBeGreaterThan(0.85);
  });
});

describe('right answers in unusual words', () => {
  it('are hardly ever called a mistake', () => {
    const blamed = share('understood', 'misconception');
    expect(blamed.share, blamed.texts.join('\n')).toBeLessThanOrEqual(0.02);
  });

  it('are nearly always understood', () => {
    expect(share('understood', 'understood').share).toBeGreaterThan(0.9);
  });
});
