// A brief or a round as a file, as the command line reads it.
import { fileText } from '../api';

export async function saveFile(content: object, name: string): Promise<void> {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([await fileText(content)], { type: 'application/toml' }));
  link.download = `${name}.toml`;
  link.click();
  URL.revokeObjectURL(link.href);
}
