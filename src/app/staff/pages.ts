/* What only staff sees, in one piece that the learner's screens do without. */

export { OpenRecords } from './OpenRecords';
export { People } from './People';
export { Recordings } from './Recordings';
export { ReviewPage } from './ReviewPage';
export { SetUp } from './SetUp';
export { StartForm } from './StartForm';
export { Visits } from './Visits';
