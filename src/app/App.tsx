import { useSyncExternalStore } from 'react';
import { KioskPage } from './KioskPage';
import type { Kiosk } from './kiosk';
import { NotLoaded, useStaffPages } from './staffPages';

/** Which page is on screen: the kiosk itself, or one of the staff's. */
export function App({ kiosk }: { kiosk: Kiosk }) {
  const state = useSyncExternalStore(kiosk.subscribe, kiosk.state);
  const { page } = state;
  const puttingBack = page.at === 'opening' && page.puttingBack;
  const staff = useStaffPages(page.at === 'opening' ? !!puttingBack : page.at !== 'kiosk');
  if (page.at === 'opening') {
    if (!puttingBack || !staff || staff === 'missing') return null;
    return <staff.PuttingBack {...puttingBack} />;
  }
  if (page.at === 'kiosk') return <KioskPage kiosk={kiosk} state={state} />;
  if (!staff) return null;
  if (staff === 'missing') return <NotLoaded />;
  return <staff.StaffPage kiosk={kiosk} state={state} />;
}
