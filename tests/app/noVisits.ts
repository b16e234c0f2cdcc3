import type { ComponentProps } from 'react';
import type { Visits } from '../../src/app/staff/Visits';

const nothing = () => {};

/** The list of a device that stores nothing, and buttons that do nothing: what it is shown with unless a test says otherwise. */
export const noVisits: ComponentProps<typeof Visits> = {
  visits: [],
  outbox: null,
  keeping: null,
  offline: null,
  notices: [],
  keptAside: 0,
  sealing: { state: 'open' },
  place: undefined,
  followUps: null,
  onOpen: nothing,
  onGoOn: nothing,
  onNext: nothing,
  onFileNow: nothing,
  onWard: nothing,
  onRecordings: nothing,
  onKeep: nothing,
  onClock: nothing,
  onFirstRun: nothing,
  onSetUp: nothing,
  onPeople: nothing,
  onServer: null,
  onFollow: nothing,
  onClose: nothing,
  onBack: nothing,
};
