import { useEffect, useState } from 'react';
import { playCall } from '../services/earcon';
import { sound, wakeSound } from '../services/sound';
import { type Followed, follow } from './channel';
import { Following } from './Following';

/** As often as the kiosk calls, until somebody has come, ms. */
const callAgain = 20_000;

/** A second window of the same browser. It opens no microphone and no store: it only hears what the kiosk shows. */
export function FollowPage() {
  const [followed, setFollowed] = useState<Followed>({ view: null, lost: false });
  const [silent, setSilent] = useState(() => sound().state !== 'running');
  useEffect(() => follow(setFollowed), []);
  useEffect(() => {
    const audio = sound();
    const look = () => setSilent(audio.state !== 'running');
    audio.addEventListener('statechange', look);
    const signs = ['pointerdown', 'keydown'] as const;
    for (const sign of signs) window.addEventListener(sign, wakeSound);
    wakeSound();
    look();
    return () => {
      audio.removeEventListener('statechange', look);
      for (const sign of signs) window.removeEventListener(sign, wakeSound);
    };
  }, []);
  // The kiosk has taken up a newer version of itself; this window has to speak the same.
  useEffect(() => {
    const { serviceWorker } = navigator;
    if (!serviceWorker?.controller) return;
    const reload = () => location.reload();
    serviceWorker.addEventListener('controllerchange', reload);
    return () => serviceWorker.removeEventListener('controllerchange', reload);
  }, []);
  const helping = followed.view?.show === 'help';
  useEffect(() => {
    if (!helping || silent) return;
    playCall();
    const timer = setInterval(playCall, callAgain);
    return () => clearInterval(timer);
  }, [helping, silent]);
  return <Following followed={followed} silent={silent} />;
}
