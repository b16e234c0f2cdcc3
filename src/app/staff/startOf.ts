import { type VisitStart, visitStartSchema } from '../../records/schema';
import type { FullLesson } from '../lessons';
import { particularsOf } from '../particulars';
import type { Site } from '../site';
import type { Problems } from './useProblems';
import { cleaned } from './wedge';

/** Names of the fields that each lesson has for itself. */
export const fieldsOf = (module: string) => ({
  step: `step ${module}`,
  medicine: `medicine ${module}`,
  timesADay: `timesADay ${module}`,
});

/** Seconds for each button of who presses one switch. */
export const scanSeconds = { least: 0.3, most: 60 } as const;

const fewest = {
  name: 'Enter the name or the initials of who learns.',
  bed: 'Enter the bed.',
  staff: 'Enter your name.',
};

/**
 * What was entered as the start of the first of the chosen lessons, in this order, with the others still to come; or
 * what the fields need, in the order of the form.
 */
export function startOf(
  form: FormData,
  chosen: readonly FullLesson[],
  site: Site,
): { start: VisitStart } | { problems: Problems } {
  const word = (name: string) => cleaned(String(form.get(name) ?? ''));
  const seconds = Number(word('scanItem'));
  const switches = word('switches');
  const lessons = chosen.map(({ module, common }) => {
    const fields = fieldsOf(module.id);
    const steps = module.steps.map(({ id }) => id).filter((id) => form.getAll(fields.step).includes(id));
    const typed = {
      medicine: word(fields.medicine),
      timesADay: word(fields.timesADay),
      callNumber: word('callNumber'),
    };
    return { module, steps, particulars: particularsOf(common, site, typed) };
  });
  const [first, ...toCome] = lessons;
  const problems: Problems = {
    ...Object.fromEntries(Object.entries(fewest).filter(([name]) => word(name) === '')),
    ...(first ? {} : { module: 'Choose at least one lesson to teach.' }),
    ...Object.fromEntries(
      lessons.flatMap(({ module, steps }) =>
        steps.length === 0 ? [[fieldsOf(module.id).step, 'Choose at least one part to teach.']] : [],
      ),
    ),
    ...(switches && !(seconds >= scanSeconds.least && seconds <= scanSeconds.most)
      ? { scanItem: `Enter a number of seconds from ${scanSeconds.least} to ${scanSeconds.most}.` }
      : {}),
  };
  if (!first || Object.keys(problems).length > 0) return { problems };

  const relation = word('relation');
  const result = visitStartSchema.safeParse({
    visit: crypto.randomUUID(),
    practice: false,
    ward: site.ward,
    bed: word('bed'),
    ...(word('recordNumber') ? { recordNumber: word('recordNumber') } : {}),
    staff: word('staff'),
    learner: { role: word('role'), name: word('name'), ...(relation ? { relation } : {}) },
    language: chosen[0]!.teaching.language,
    interpreter: form.has('interpreter'),
    prefers: word('prefers'),
    barriers: form.getAll('barrier'),
    ...(word('readiness') ? { readiness: word('readiness') } : {}),
    module: first.module.id,
    moduleVersion: first.module.version,
    steps: first.steps,
    audioOnly: form.has('audioOnly'),
    ...(word('answers') === 'touch' ? { answers: 'touch' } : {}),
    ...(switches ? { switches: { keys: switches, each: Math.round(seconds * 1000) } } : {}),
    particulars: first.particulars,
    ...(toCome.length === 0
      ? {}
      : {
          sitting: {
            id: crypto.randomUUID(),
            index: 0,
            follows: false,
            toCome: toCome.map(({ module, steps, particulars }) => ({
              module: module.id,
              steps,
              particulars,
            })),
          },
        }),
  });
  if (result.success) return { start: result.data };
  const [issue] = result.error.issues;
  return { problems: { form: `${issue?.path.join(' ')}: ${issue?.message}` } };
}
