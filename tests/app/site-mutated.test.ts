import fc from 'fast-check';
import { expect, test } from 'vitest';
import { defaultTimings, readSite } from '../../src/app/site';
import { mutatedFile, mutatedRuns } from '../mutated';

const good = {
  ward: 'Pier 2',
  language: 'es',
  callNumber: '555-0100',
  emergencyNumber: '112',
  words: { en: { careTeam: 'the ward' }, fr: { soakTime: 'vingt minutes' } },
  timings: { longPause: 4_500, inactive: 90_000, answerWithin: 45_000 },
  light: 'dark',
  screen: { widthMm: 597 },
  recordServer: { address: '/fhir', patientSystem: 'urn:oid:2.999.4.1', kiosk: 'Pier 2' },
  cloudHearing: false,
};

test('a site.json that was spoilt never stops the kiosk: what is bad is told, and what is used is whole', () => {
  let told = 0;
  fc.assert(
    fc.property(mutatedFile(good), (text) => {
      const { site, problems } = readSite(text);
      for (const problem of problems) expect(problem).toMatch(/^site\.json[,:] ?.*\S/s);
      for (const problem of problems) expect(problem).not.toMatch(/undefined|\[object|Invalid input/);
      if (problems.length > 0) told += 1;
      expect(site.ward.trim()).not.toBe('');
      expect(Object.keys(site.timings).sort()).toEqual(Object.keys(defaultTimings).sort());
      for (const ms of Object.values(site.timings)) expect(ms >= 0 && ms <= 600_000).toBe(true);
      if (site.recordServer) expect(site.recordServer.address).toMatch(/^\/[\w.~/-]+$/);
      expect(typeof site.cloudHearing).toBe('boolean');
    }),
    mutatedRuns(1_000),
  );
  expect(told).toBeGreaterThan(500);
});
