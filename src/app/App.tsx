import { useSyncExternalStore } from 'react';
import type { Kiosk } from './kiosk';
import { Idle } from './staff/Idle';
import { ReviewPage } from './staff/ReviewPage';
import { StartForm } from './staff/StartForm';
import { Visits } from './staff/Visits';
import { VisitPage } from './VisitPage';

/** Which of the kiosk's places is on screen. */
export function App({ kiosk }: { kiosk: Kiosk }) {
  const { place, site, notices } = useSyncExternalStore(kiosk.subscribe, kiosk.state);
  switch (place.at) {
    case 'opening':
      return null;
    case 'idle':
      return (
        <Idle
          onPractice={kiosk.practice}
          onStart={kiosk.openStart}
          onVisits={kiosk.openVisits}
          notices={notices}
        />
      );
    case 'start':
      return (
        site && (
          <StartForm
            site={site}
            lessons={place.lessons}
            ears={kiosk.ears}
            onStart={kiosk.begin}
            onCancel={kiosk.idle}
          />
        )
      );
    case 'visit':
      return <VisitPage kiosk={kiosk} visit={place.visit} />;
    case 'visits':
      return <Visits visits={place.visits} notices={notices} onOpen={kiosk.review} onBack={kiosk.idle} />;
    case 'review':
      return <ReviewPage stored={place.stored} onBack={kiosk.openVisits} />;
  }
}
