/* What only staff sees, in one piece that the learner's screens do without. */

export { PuttingBack } from './PuttingBack';
export { StaffPage } from './StaffPage';
