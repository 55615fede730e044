// How this device likes to see things: theme and unit. Kept on this device, never in the record.
import { showLengthsIn } from './format.svelte';
import { keepHere, readHere } from './kept-here';
import type { LengthUnit } from './length';

export type Theme = 'system' | 'light' | 'dark';

export const look: { theme: Theme; unit: LengthUnit } = $state({ theme: 'system', unit: 'mm' });

export function readLook(): void {
  const theme = readHere('theme');
  look.theme = theme === 'light' || theme === 'dark' ? theme : 'system';
  look.unit = readHere('unit') === 'in' ? 'in' : 'mm';
  apply();
}

export function setTheme(theme: Theme): void {
  look.theme = theme;
  keepHere('theme', theme);
  apply();
}

export function setUnit(unit: LengthUnit): void {
  look.unit = unit;
  keepHere('unit', unit);
  apply();
}

function apply(): void {
  showLengthsIn(look.unit);
  if (look.theme === 'system') delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = look.theme;
}
