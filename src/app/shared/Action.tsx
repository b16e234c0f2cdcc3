import type { ReactNode } from 'react';
import styles from './Action.module.css';
import { Icon, type IconName } from './Icon';

/** A button with words and an icon. One `main` a screen. */
export function Action({
  children,
  icon,
  kind = 'plain',
  onPress,
  pressed,
  disabled = false,
  forStaff = false,
}: {
  children: ReactNode;
  icon?: IconName;
  kind?: 'main' | 'plain' | 'quiet' | 'alarm';
  onPress: () => void;
  pressed?: boolean;
  disabled?: boolean;
  /** Passed over by the learner's switch. */
  forStaff?: boolean;
}) {
  return (
    <button
      type="button"
      className={`${styles.action} ${styles[kind]}`}
      onClick={onPress}
      aria-pressed={pressed}
      disabled={disabled}
      data-for-staff={forStaff || undefined}
    >
      {icon && <Icon name={icon} />}
      <span>{children}</span>
    </button>
  );
}
