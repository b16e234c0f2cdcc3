import { useSyncExternalStore } from 'react';

/** How bright the screen is: as the device is set, or chosen. */
export const lights = ['device', 'day', 'night'] as const;
export type Light = (typeof lights)[number];

const listeners = new Set<() => void>();
const darkDevice = () => window.matchMedia('(prefers-color-scheme: dark)');

/** Sets the light of the whole page; tokens.css has the colours of both. */
export function setLight(light: Light): void {
  if (light === 'device') delete document.documentElement.dataset.light;
  else document.documentElement.dataset.light = light;
  for (const listener of listeners) listener();
}

function subscribe(listener: () => void): () => void {
  const device = darkDevice();
  listeners.add(listener);
  device.addEventListener('change', listener);
  return () => {
    listeners.delete(listener);
    device.removeEventListener('change', listener);
  };
}

const isNight = (): boolean => {
  const { light } = document.documentElement.dataset;
  return light ? light === 'night' : darkDevice().matches;
};

/** Is the screen dark now? */
export const useNight = (): boolean => useSyncExternalStore(subscribe, isNight);
