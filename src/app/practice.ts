import type { Lesson } from '../../machines/types';
import type { VisitStart } from '../records/schema';
import { particularsOf } from './particulars';
import type { Site } from './site';

/** What the practice visit teaches. */
export const practiceModule = 'inhaler-spacer';

/** The practice visit: invented ward, bed and learner. */
export function practiceStart(site: Site, { module, common }: Pick<Lesson, 'module' | 'common'>): VisitStart {
  return {
    visit: crypto.randomUUID(),
    practice: true,
    ward: site.ward,
    bed: '12',
    staff: 'Practice',
    learner: { role: 'patient', name: common.screens.practiceLearner },
    language: common.language,
    interpreter: false,
    prefers: 'listening',
    barriers: [],
    module: module.id,
    moduleVersion: module.version,
    steps: module.steps.map((step) => step.id),
    audioOnly: false,
    particulars: particularsOf(common, site),
  };
}
