import type { VisitStart } from '../records/schema';
import type { Site } from './site';

/** The practice visit: invented ward, bed and learner. */
export function practiceStart(
  site: Site,
  module: { id: string; version: string; steps: string[] },
): VisitStart {
  return {
    visit: crypto.randomUUID(),
    practice: true,
    ward: site.ward,
    bed: '12',
    staff: 'Practice',
    learner: { role: 'patient', name: 'Practice learner' },
    language: 'en',
    interpreter: false,
    prefers: 'listening',
    barriers: [],
    module: module.id,
    moduleVersion: module.version,
    steps: module.steps,
    audioOnly: false,
    particulars: {
      medicine: 'your inhaler medicine',
      timesADay: 'as your care team ordered',
      callNumber: site.callNumber,
      emergencyNumber: site.emergencyNumber,
      careTeam: site.careTeam,
    },
  };
}
