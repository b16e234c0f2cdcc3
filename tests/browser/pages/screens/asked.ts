import { fill } from '../../../../machines/script';
import { loadLesson, offered } from '../../../../src/app/lessons';
import { particularsOf } from '../../../../src/app/particulars';
import { practiceStart } from '../../../../src/app/practice';
import { readSite } from '../../../../src/app/site';

/* The lesson that the address names (?module=...&language=...), and the longest texts of it. */

/** All that is taught in English. */
export const several = await Promise.all(
  offered()
    .filter((offer) => offer.language === 'en')
    .map((offer) => loadLesson(offer.module, offer.language)),
);
const asked = new URLSearchParams(location.search);
export const [name, language] = [asked.get('module') ?? '', asked.get('language') ?? ''];
export const { module, teaching, judging, common } = await loadLesson(name, language);
export const slots: Record<string, string> = particularsOf(common, readSite('{}').site);
export const longest = (texts: string[]) =>
  fill(
    texts.reduce((a, b) => (b.length > a.length ? b : a), ''),
    slots,
  );
export const steps = Object.values(teaching.steps);
export const concepts = Object.values(teaching.concepts);
export const heard = longest(Object.values(judging.concepts).map(({ says }) => says));
export const nothing = () => {};
export const say = (...keys: string[]) => keys.map((key) => fill(common.prompts[key] ?? '', slots));
export const labels = concepts.map(({ label }) => fill(label, slots));
export const start = practiceStart(readSite('{}').site, { module, common });
