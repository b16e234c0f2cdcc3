import type { ReactNode } from 'react';
import styles from './Action.module.css';
import { Icon, type IconName } from './Icon';

/** A button with words and an icon, or with an icon alone and a `label` for those who hear it. One `main` a screen. */
export function Action({
  children,
  icon,
  kind = 'plain',
  label,
  onPress,
  pressed,
  disabled = false,
  forStaff = false,
  turn,
}: {
  children?: ReactNode;
  icon?: IconName;
  kind?: 'main' | 'plain' | 'quiet' | 'alarm';
  label?: string;
  onPress: () => void;
  pressed?: boolean;
  disabled?: boolean;
  /** Passed over by the learner's switch. */
  forStaff?: boolean;
  /** When the learner's switch comes by, where that is not its place on the screen. */
  turn?: 'first' | 'last';
}) {
  return (
    <button
      type="button"
      className={`${styles.action} ${styles[kind]}`}
      onClick={onPress}
      aria-label={label}
      aria-pressed={pressed}
      disabled={disabled}
      data-for-staff={forStaff || undefined}
      data-turn={turn}
    >
      {icon && <Icon name={icon} />}
      {children && <span>{children}</span>}
    </button>
  );
}
