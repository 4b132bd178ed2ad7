/** Dots per inch of a picture for a slide or a page of print. */
export const pngDotsPerInch = 300;

/**
 * A figure as PNG, drawn by the browser itself at {@link pngDotsPerInch}, with the page's own typeface inside.
 *
 * @param svg a figure of the library, which states its width and height in millimetres
 * @param typeface `@font-face` rules whose fonts are data, as a picture can load nothing
 */
export async function pngOfSvg(svg: string, typeface: string): Promise<Blob> {
  const millimetres = (name: string) =>
    Number(new RegExp(`<svg[^>]*\\s${name}="([\\d.]+)mm"`).exec(svg)?.[1]);
  const [width, height] = ['width', 'height'].map((name) =>
    Math.round((millimetres(name) / 25.4) * pngDotsPerInch),
  ) as [number, number];
  const dressed = svg.replace('>', `><style>${typeface}</style>`);
  const image = new Image();
  const url = URL.createObjectURL(new Blob([dressed], { type: 'image/svg+xml' }));
  try {
    image.src = url;
    await image.decode();
    const canvas = document.createElement('canvas');
    canvas.width = width;
    canvas.height = height;
    const context = canvas.getContext('2d');
    if (context === null) throw new Error('this browser gives no canvas to draw on');
    context.fillStyle = '#ffffff';
    context.fillRect(0, 0, width, height);
    context.drawImage(image, 0, 0, width, height);
    return await new Promise((resolve, reject) =>
      canvas.toBlob((blob) =>
        blob === null ? reject(new Error('the picture could not be made')) : resolve(blob),
      ),
    );
  } finally {
    URL.revokeObjectURL(url);
  }
}
