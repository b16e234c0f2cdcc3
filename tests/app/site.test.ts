import { describe, expect, it } from 'vitest';
import { defaultTimings, readSite } from '../../src/app/site';

describe('site.json', () => {
  it('may be empty: everything has a default', () => {
    const { site, problems } = readSite('{}');
    expect(problems).toEqual([]);
    expect(site.ward).toBe('Harbor 4');
    expect(site.timings).toEqual(defaultTimings);
  });

  it('keeps the good entries when one is bad, and says which one and why', () => {
    const { site, problems } = readSite('{"ward":"Pier 2","emergencyNumber":112}');
    expect(site.ward).toBe('Pier 2');
    expect(site.emergencyNumber).toBe('911');
    expect(problems).toHaveLength(1);
    expect(problems[0]).toContain('"emergencyNumber"');
  });

  it('changes single timings and leaves the others', () => {
    const { site, problems } = readSite('{"timings":{"longPause":4500}}');
    expect(problems).toEqual([]);
    expect(site.timings).toEqual({ ...defaultTimings, longPause: 4500 });
  });

  it('names a timing that is not a sensible number of milliseconds', () => {
    const { site, problems } = readSite('{"timings":{"longPause":-1},"ward":"Pier 2"}');
    expect(problems[0]).toContain('"timings.longPause"');
    expect(site.timings).toEqual(defaultTimings);
    expect(site.ward).toBe('Pier 2');
  });

  it('does not point so briefly that no switch can be pressed', () => {
    const { site, problems } = readSite('{"timings":{"scanItem":100}}');
    expect(problems[0]).toContain('"timings.scanItem": is too short to press a switch in');
    expect(site.timings.scanItem).toBe(2000);
  });

  it('sends no voice over the network unless it says so, and in so many words', () => {
    expect(readSite('{}').site.cloudHearing).toBe(false);
    expect(readSite('{"cloudHearing":true}').site.cloudHearing).toBe(true);
    const { site, problems } = readSite('{"cloudHearing":"yes"}');
    expect(site.cloudHearing).toBe(false);
    expect(problems[0]).toContain('"cloudHearing"');
  });

  it('may say how bright the screen is and how wide the panel', () => {
    expect(readSite('{}').site).toMatchObject({ light: 'device' });
    expect(readSite('{}').site.screen).toBeUndefined();
    const { site, problems } = readSite('{"light":"night","screen":{"widthMm":215}}');
    expect(problems).toEqual([]);
    expect(site).toMatchObject({ light: 'night', screen: { widthMm: 215 } });
    const bad = readSite('{"light":"dark","screen":{"widthMm":21}}');
    expect(bad.site).toMatchObject({ light: 'device' });
    expect(bad.site.screen).toBeUndefined();
    expect(bad.problems).toEqual([
      expect.stringContaining('"light"'),
      expect.stringContaining('"screen.widthMm"'),
    ]);
  });

  it('may say where visits are filed: on its own origin only', () => {
    expect(readSite('{}').site.recordServer).toBeUndefined();
    const given = { address: '/fhir', patientSystem: 'urn:oid:2.999.4.1' };
    expect(readSite(JSON.stringify({ recordServer: given })).site.recordServer).toEqual(given);
    for (const address of [
      'https://records.example/fhir',
      '//records.example',
      'fhir',
      '/fhir/',
      '/a/../b?c',
    ]) {
      const { site, problems } = readSite(JSON.stringify({ recordServer: { ...given, address } }));
      expect(site.recordServer).toBeUndefined();
      expect(problems[0]).toContain('"recordServer.address": must be a path of this site');
    }
  });

  it('names an unknown setting and leaves it out', () => {
    const { site, problems } = readSite('{"wrad":"Pier 2"}');
    expect(problems).toEqual(['site.json, "wrad": is not a known setting and is left out']);
    expect(site.ward).toBe('Harbor 4');
  });

  it.each(['', '{', '[]', '"x"', 'null'])('survives %j and says that the file cannot be used', (text) => {
    const { site, problems } = readSite(text);
    expect(problems).toHaveLength(1);
    expect(site.ward).toBe('Harbor 4');
  });
});
