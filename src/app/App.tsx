import { useSyncExternalStore } from 'react';
import { KioskPage } from './KioskPage';
import type { Kiosk } from './kiosk';
import { NotLoaded, useStaffPages } from './staffPages';

/** Which page is on screen: the kiosk itself, or one of the staff's. */
export function App({ kiosk }: { kiosk: Kiosk }) {
  const state = useSyncExternalStore(kiosk.subscribe, kiosk.state);
  const { page, site, notices } = state;
  const staff = useStaffPages(page.at !== 'opening' && page.at !== 'kiosk');
  if (page.at === 'opening') return null;
  if (page.at === 'kiosk') return <KioskPage kiosk={kiosk} state={state} />;
  if (!staff) return null;
  if (staff === 'missing') return <NotLoaded />;
  const { OpenRecords, People, Recordings, ReviewPage, SetUp, StartForm, Visits } = staff;
  switch (page.at) {
    case 'start':
      return (
        site && (
          <StartForm
            site={site}
            lessons={page.lessons}
            ears={kiosk.ears}
            pack={kiosk.pack}
            open={page.open}
            onStart={kiosk.begin}
            onCancel={kiosk.idle}
          />
        )
      );
    case 'visits':
      return (
        <Visits
          visits={page.visits}
          notices={notices}
          sealing={page.sealing}
          onOpen={kiosk.review}
          onGoOn={kiosk.goOnFromList}
          onRecordings={kiosk.openRecordings}
          onSetUp={kiosk.openSetUp}
          onPeople={kiosk.openPeople}
          onClose={kiosk.idle}
          onBack={kiosk.idle}
        />
      );
    case 'recordings':
      return (
        site && (
          <Recordings
            site={site}
            lessons={page.lessons}
            studio={kiosk.studio}
            notices={notices}
            onBack={kiosk.openVisits}
          />
        )
      );
    case 'review':
      return (
        <ReviewPage
          stored={page.stored}
          onDone={(what) => kiosk.did(what, page.visit)}
          onBack={kiosk.openVisits}
        />
      );
    case 'open-records':
      return <OpenRecords room={page.room} onOpened={page.onOpened} onBack={kiosk.idle} />;
    case 'set-up':
      return <SetUp room={page.room} onDone={kiosk.openVisits} onBack={kiosk.openVisits} />;
    case 'people':
      return <People room={page.room} me={page.me} onBack={kiosk.openVisits} onClose={kiosk.idle} />;
  }
}
