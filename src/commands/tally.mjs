/**
 * Counts a JSON report of Vitest.
 * @param {object} report what `--reporter=json` wrote
 * @param {boolean} endedWell did Vitest end with status 0?
 * @returns {{ passed: number, failed: number, skipped: number, notes: string[] }}
 */
export function countReport(report, endedWell) {
  const count = { passed: 0, failed: 0, skipped: 0, notes: /** @type {string[]} */ ([]) };
  for (const file of report.testResults) {
    for (const test of file.assertionResults) {
      if (test.status === 'passed') count.passed += 1;
      else if (test.status === 'failed') {
        count.failed += 1;
        count.notes.push(`failed: ${test.fullName}`);
      } else {
        count.skipped += 1;
        count.notes.push(`skipped: ${test.fullName}`);
      }
    }
    // A file that could not even be loaded has no tests to its name.
    if (file.status === 'failed' && !file.assertionResults.some((test) => test.status === 'failed')) {
      count.failed += 1;
      count.notes.push(`failed: ${file.name}: ${String(file.message).split('\n')[0]}`);
    }
  }
  // An error outside any test, or no tests at all.
  if (!endedWell && count.failed === 0) {
    count.failed += 1;
    count.notes.push('failed: the test run itself; see above');
  }
  return count;
}
