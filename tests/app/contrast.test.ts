import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

/*
 * Contrast as WCAG 2.2 defines it ("contrast ratio", "relative luminance"): 7:1 for text is success criterion 1.4.6,
 * 3:1 for the edges of controls is 1.4.11.
 */

const css = readFileSync(new URL('../../src/app/shared/tokens.css', import.meta.url), 'utf8');
const tokens = new Map(
  [...css.matchAll(/--([\w-]+): light-dark\((#\w{6}), (#\w{6})\)/g)].map(([, name, day, night]) => [
    name!,
    { day: day!, night: night! },
  ]),
);

/** Relative luminance of #rrggbb, 0..1. */
function luminance(colour: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const share = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [light, dark] = [luminance(a), luminance(b)].sort((x, y) => y - x) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

const papers = ['paper', 'paper-raised', 'paper-sunk', 'accent-wash'];
const inks = ['ink', 'ink-soft', 'accent', 'action', 'good', 'alarm'];
const text = [
  ...papers.flatMap((paper) => inks.map((ink) => [ink, paper])),
  ['action-ink', 'action'],
  ['alarm-ink', 'alarm-paper'],
] as [string, string][];
const edges = ['edge', 'focus', 'action'].flatMap((edge) => papers.map((paper) => [edge, paper])) as [
  string,
  string,
][];

describe.each(['day', 'night'] as const)('by %s', (light) => {
  const between = ([a, b]: [string, string]) => contrast(tokens.get(a)![light], tokens.get(b)![light]);

  it('knows white on black', () => {
    expect(contrast('#ffffff', '#000000')).toBeCloseTo(21);
    // Grey on white, a figure that checkers of contrast are tried with (from memory).
    expect(contrast('#777777', '#ffffff')).toBeCloseTo(4.48, 2);
  });

  it('keeps 7:1 between every ink and every paper', () => {
    const weak = text.map((pair) => ({ pair: pair.join(' on '), ratio: between(pair) }));
    expect(weak.filter(({ ratio }) => ratio < 7)).toEqual([]);
  });

  it('keeps 3:1 between the edges of controls and every paper', () => {
    const weak = edges.map((pair) => ({ pair: pair.join(' on '), ratio: between(pair) }));
    expect(weak.filter(({ ratio }) => ratio < 3)).toEqual([]);
  });
});

it('the night is warm and never pure black', () => {
  for (const paper of papers) {
    const [r, g, b] = [1, 3, 5].map((at) => Number.parseInt(tokens.get(paper)!.night.slice(at, at + 2), 16));
    expect(r!, paper).toBeGreaterThan(b!);
    expect(r! + g! + b!, paper).toBeGreaterThan(40);
  }
});
