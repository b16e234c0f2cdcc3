import { nameOf } from '../../shared/language';
import { readSite, type Site } from '../../site';

/** A line of what this kiosk has been told about its house. */
export interface Setting {
  name: string;
  value: string;
  /** Where that is from. 'example': it stands in the file as delivered, and is invented. */
  from: 'site.json' | 'default' | 'example';
}

const examples = readSite('{}').site;

/** What staff should know of the settings. @param given keys that were read from the file */
export function settingsOf(site: Site, given: readonly string[]): Setting[] {
  const from = (...keys: (keyof Site)[]) =>
    keys.some((key) => given.includes(key)) ? ('site.json' as const) : ('default' as const);
  const invented = (key: 'ward' | 'callNumber') => (site[key] === examples[key] ? 'example' : from(key));
  return [
    { name: 'Ward', value: site.ward, from: invented('ward') },
    { name: 'Number to call with questions', value: site.callNumber, from: invented('callNumber') },
    { name: 'Emergency number', value: site.emergencyNumber, from: from('emergencyNumber') },
    { name: 'Language to begin with', value: nameOf(site.language), from: from('language') },
    {
      name: 'Visits are filed in',
      value: site.recordServer ? `the record, at ${site.recordServer.address}` : 'no record; they stay here',
      from: from('recordServer'),
    },
    {
      name: 'Visits are kept',
      value: site.keepDays ? `${site.keepDays} days after they end` : 'until staff erase them',
      from: from('keepDays'),
    },
    {
      name: 'Voices may leave the device',
      value: site.cloudHearing ? 'after a yes of the learner' : 'never',
      from: from('cloudHearing'),
    },
    {
      name: 'Size of the panel',
      value: site.screen ? `${site.screen.widthMm} mm wide` : 'as its pixels let expect',
      from: from('screen'),
    },
  ];
}
