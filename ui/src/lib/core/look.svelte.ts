// How this device likes to see things: theme and unit. Kept in the browser's storage, never in the record.
import { showLengthsIn } from './format.svelte';
import type { LengthUnit } from './length';

export type Theme = 'system' | 'light' | 'dark';

export const look: { theme: Theme; unit: LengthUnit } = $state({ theme: 'system', unit: 'mm' });

export function readLook(): void {
  const theme = localStorage.getItem('theme');
  look.theme = theme === 'light' || theme === 'dark' ? theme : 'system';
  look.unit = localStorage.getItem('unit') === 'in' ? 'in' : 'mm';
  apply();
}

export function setTheme(theme: Theme): void {
  look.theme = theme;
  localStorage.setItem('theme', theme);
  apply();
}

export function setUnit(unit: LengthUnit): void {
  look.unit = unit;
  localStorage.setItem('unit', unit);
  apply();
}

function apply(): void {
  showLengthsIn(look.unit);
  if (look.theme === 'system') delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = look.theme;
}
