import { readdirSync, readFileSync } from 'node:fs';
import { expect, it } from 'vitest';

/*
 * A language may run from right to left, so a sheet says where a line begins and ends, never left and right (CSS
 * Logical Properties and Values Level 1). A shorthand of four values has a left and a right as well.
 */

const physical = [
  /\b(margin|padding|border)-(left|right)\b/,
  /(^|[\s;{])(left|right)\s*:/,
  /\bborder-(top|bottom)-(left|right)-radius\b/,
  /\b(text-align|float|clear)\s*:\s*(left|right)\b/,
];

/** Do left and right differ in `margin: 1px 2px 3px 4px`? */
function isUneven(line: string): boolean {
  const values = /\b(?:margin|padding|inset|border-width)\s*:\s*([^;]+);/
    .exec(line)?.[1]
    ?.match(/[^\s(]+(\([^)]*\))?/g);
  return values?.length === 4 && values[1] !== values[3];
}

const isPhysical = (line: string) => physical.some((pattern) => pattern.test(line)) || isUneven(line);

it('knows what is physical', () => {
  const bad = [
    'margin-left: 1px;',
    'text-align: left;',
    '  left: 0;',
    'padding: 0 8px 0 0;',
    'float: right;',
  ];
  expect(bad.filter((line) => !isPhysical(line))).toEqual([]);
  const good = [
    'margin-inline-start: 1px;',
    'text-align: start;',
    'inset-inline-start: 0;',
    'padding: 1px 2px 3px;',
  ];
  expect(good.filter(isPhysical)).toEqual([]);
});

it('no sheet knows left from right', () => {
  const root = new URL('../../src/', import.meta.url).pathname;
  const sheets = readdirSync(root, { recursive: true, encoding: 'utf8' }).filter((name) =>
    name.endsWith('.css'),
  );
  expect(sheets.length).toBeGreaterThan(10);
  const found = sheets.flatMap((sheet) =>
    readFileSync(root + sheet, 'utf8')
      .split('\n')
      .flatMap((line, index) => (isPhysical(line) ? [`${sheet}:${index + 1}: ${line.trim()}`] : [])),
  );
  expect(found).toEqual([]);
});
