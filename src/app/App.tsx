import { useSyncExternalStore } from 'react';
import { KioskPage } from './KioskPage';
import type { Kiosk } from './kiosk';
import { Recordings } from './staff/Recordings';
import { ReviewPage } from './staff/ReviewPage';
import { StartForm } from './staff/StartForm';
import { Visits } from './staff/Visits';

/** Which page is on screen: the kiosk itself, or one of the staff's. */
export function App({ kiosk }: { kiosk: Kiosk }) {
  const state = useSyncExternalStore(kiosk.subscribe, kiosk.state);
  const { page, site, notices } = state;
  switch (page.at) {
    case 'opening':
      return null;
    case 'kiosk':
      return <KioskPage kiosk={kiosk} state={state} />;
    case 'start':
      return (
        site && (
          <StartForm
            site={site}
            lessons={page.lessons}
            ears={kiosk.ears}
            pack={kiosk.pack}
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
          onOpen={kiosk.review}
          onGoOn={kiosk.goOn}
          onRecordings={kiosk.openRecordings}
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
      return <ReviewPage stored={page.stored} onBack={kiosk.openVisits} />;
  }
}
