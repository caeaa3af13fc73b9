import { takeFiles } from './files.ts';

/** The files of a drop; those of a dropped folder too, one level of folders down. */
export async function takeDrop(data: DataTransfer): Promise<void> {
  // Entries must be asked for before the first await: the drop's data is gone after that.
  const entries = [...data.items].flatMap((item) => item.webkitGetAsEntry() ?? []);
  const plain = [...data.files];
  const folders = entries.filter((entry) => entry.isDirectory);
  const files = plain.filter((file) => !folders.some((folder) => folder.name === file.name));
  const inside = await Promise.all(folders.map((folder) => filesIn(folder as FileSystemDirectoryEntry)));
  await takeFiles([...files, ...inside.flat()]);
}

async function filesIn(folder: FileSystemDirectoryEntry): Promise<readonly File[]> {
  const reader = folder.createReader();
  const files: File[] = [];
  for (;;) {
    const entries = await new Promise<FileSystemEntry[]>((resolve, reject) => reader.readEntries(resolve, reject));
    if (entries.length === 0) return files;
    for (const entry of entries) {
      // The entry says that it is a file; its own type has no name for that.
      if (entry.isFile) {
        files.push(await new Promise<File>((resolve, reject) => (entry as FileSystemFileEntry).file(resolve, reject)));
      }
    }
  }
}
