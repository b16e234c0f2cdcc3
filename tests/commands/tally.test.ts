import { expect, test } from 'vitest';
import { countReport } from '../../src/commands/tally.mjs';

const file = (status: string, ...tests: string[]) => ({
  name: 'x.test.ts',
  status,
  message: 'Cannot find module',
  assertionResults: tests.map((status, i) => ({ status, fullName: `test ${i}` })),
});

test('every test is counted once', () => {
  const report = { testResults: [file('passed', 'passed', 'passed', 'skipped', 'todo')] };
  expect(countReport(report, true)).toMatchObject({ passed: 2, failed: 0, skipped: 2 });
});

test('a failed test counts once, not once more for its file', () => {
  const report = { testResults: [file('failed', 'passed', 'failed')] };
  expect(countReport(report, false)).toMatchObject({ passed: 1, failed: 1, notes: ['failed: test 1'] });
});

test('a file that does not load counts as a failure', () => {
  expect(countReport({ testResults: [file('failed')] }, false)).toMatchObject({ passed: 0, failed: 1 });
});

test('a run that ends badly with all tests passed is a failure', () => {
  expect(countReport({ testResults: [file('passed', 'passed')] }, false)).toMatchObject({
    passed: 1,
    failed: 1,
  });
});
