import { expect, test } from 'vitest';
import { fill, oneLine } from '../../src/records/plain';
import { startOf } from './fixtures';

test('a name with line ends, controls or turned writing stays on one line, and markup stays text', () => {
  expect(oneLine('  Ines\n\nSigned:\tme\u2028 \u202eeman ')).toBe('Ines Signed: me eman');
  expect(oneLine('<b>Ines</b> & "Co"')).toBe('<b>Ines</b> & "Co"');
  expect(oneLine('Zoë Đặng 李')).toBe('Zoë Đặng 李');
});

test('slots of the visit are filled, unknown ones stay to be seen', () => {
  const start = startOf();
  expect(fill('Call {careTeam} at {callNumber}, {nobody}.', start)).toBe(
    'Call the Harbor 4 team at 555-0142, {nobody}.',
  );
  expect(fill('{toString} {medicine}', null)).toBe('{toString} {medicine}');
  expect(fill('{toString}', start)).toBe('{toString}');
});

test('what was put into a slot is not read for slots again', () => {
  const { particulars } = startOf();
  const start = startOf({ particulars: { ...particulars, medicine: '{callNumber} $& x' } });
  expect(fill('Take {medicine}.', start)).toBe('Take {callNumber} $& x.');
});
