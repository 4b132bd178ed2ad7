import { button, element } from './element.ts';

/** Files a reader gave, by name. */
export type GivenFiles = Readonly<Record<string, Uint8Array>>;

const isReviewFile = (name: string): boolean => /\.(csv|json|tsv|txt)$/i.test(name);

/**
 * Two ways to open a review of one's own: drop its folder (or its files) anywhere on the page, or choose it with a
 * button. The files are read by the page and go nowhere.
 */
export function folderPart(give: (folder: string, files: GivenFiles) => void): HTMLElement {
  const folderInput = element('input', {
    type: 'file',
    id: 'choose-folder',
    webkitdirectory: true,
    multiple: true,
    hidden: true,
  });
  const filesInput = element('input', {
    type: 'file',
    id: 'choose-files',
    multiple: true,
    accept: '.csv,.json,.tsv,.txt',
    hidden: true,
  });
  for (const input of [folderInput, filesInput])
    input.addEventListener('change', () => {
      const chosen = [...(input.files ?? [])];
      input.value = '';
      if (chosen.length > 0) {
        const folder = chosen[0]?.webkitRelativePath.split('/')[0] || severalFiles;
        void readFiles({ folder, files: chosen }).then((read) => give(read.folder, read.files));
      }
    });
  const drop = (event: DragEvent): void => {
    if (event.dataTransfer === null) return;
    event.preventDefault();
    document.body.classList.remove('dropping');
    // To be asked at once: after this event the browser forgets them.
    const given = [...event.dataTransfer.items].flatMap(
      (item) => item.webkitGetAsEntry() ?? item.getAsFile() ?? [],
    );
    void chosenOf(given)
      .then(readFiles)
      .then(({ folder, files }) => give(folder, files));
  };
  document.addEventListener('dragover', (event) => {
    event.preventDefault();
    document.body.classList.add('dropping');
  });
  document.addEventListener('dragleave', (event) => {
    if (event.relatedTarget === null) document.body.classList.remove('dropping');
  });
  document.addEventListener('drop', drop);
  return element(
    'details',
    { class: 'folder' },
    element('summary', {}, 'Open a review of your own'),
    element(
      'p',
      {},
      'Drop its folder anywhere on this page, or choose it. The files stay in this page: they are read here, sent nowhere and gone when you close it.',
    ),
    element(
      'p',
      { class: 'shortcuts' },
      button('Choose a folder', () => folderInput.click()),
      button('Choose files', () => filesInput.click()),
      folderInput,
      filesInput,
    ),
  );
}

/** The files of a folder itself, as the check reads them: not those of folders within it. */
async function readFiles({ folder, files }: Chosen): Promise<{ folder: string; files: GivenFiles }> {
  const own = files.filter(
    ({ name, webkitRelativePath }) => isReviewFile(name) && webkitRelativePath.split('/').length <= 2,
  );
  const read = await Promise.all(
    own.map(async (file) => [file.name, new Uint8Array(await file.arrayBuffer())] as const),
  );
  return { folder, files: Object.fromEntries(read) };
}

interface Chosen {
  readonly folder: string;
  readonly files: readonly File[];
}

const severalFiles = 'the files chosen';

async function chosenOf(given: readonly (FileSystemEntry | File)[]): Promise<Chosen> {
  const lists = await Promise.all(given.map(async (one) => (isFolder(one) ? await entriesOf(one) : [one])));
  const files = lists
    .flat()
    .filter((one) => one instanceof File || one.isFile)
    .map(fileOf);
  const [first, second] = given;
  return {
    folder: first !== undefined && isFolder(first) && second === undefined ? first.name : severalFiles,
    files: await Promise.all(files),
  };
}

const isFolder = (one: FileSystemEntry | File): one is FileSystemDirectoryEntry =>
  !(one instanceof File) && one.isDirectory;

const fileOf = (one: FileSystemEntry | File): Promise<File> =>
  one instanceof File
    ? Promise.resolve(one)
    : new Promise((resolve, reject) => (one as FileSystemFileEntry).file(resolve, reject));

/** A folder is handed over in parts of a hundred; the last part is empty. */
async function entriesOf(folder: FileSystemDirectoryEntry): Promise<readonly FileSystemEntry[]> {
  const reader = folder.createReader();
  const all: FileSystemEntry[] = [];
  for (;;) {
    const part = await new Promise<readonly FileSystemEntry[]>((resolve, reject) =>
      reader.readEntries(resolve, reject),
    );
    if (part.length === 0) return all;
    all.push(...part);
  }
}
