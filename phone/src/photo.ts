export const LONGEST_SIDE = 1600;
const QUALITY = 0.82;

/** The size of a photo when its longest side is at most `longest` pixels; a smaller one keeps its own. */
export function fit(width: number, height: number, longest: number = LONGEST_SIDE): { width: number; height: number } {
  if (!(width >= 1) || !(height >= 1)) throw new RangeError(`a photo of ${width} × ${height} pixels cannot be drawn`);
  const share = Math.min(1, longest / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * share)), height: Math.max(1, Math.round(height * share)) };
}

/**
 * Draw a photo anew as a JPEG no longer than 1600 pixels. Drawing it drops what the camera wrote beside the picture:
 * where it was taken, with which device.
 */
export async function redraw(file: Blob): Promise<Uint8Array<ArrayBuffer>> {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  const { width, height } = fit(picture.width, picture.height);
  const canvas = document.createElement("canvas");
  canvas.width = width;
  canvas.height = height;
  const pen = canvas.getContext("2d");
  if (!pen) throw new Error("this browser cannot draw the photo");
  pen.drawImage(picture, 0, 0, width, height);
  picture.close();
  const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, "image/jpeg", QUALITY));
  if (!blob) throw new Error("this browser cannot write the photo as a JPEG");
  return bare(new Uint8Array(await blob.arrayBuffer()));
}

/** What a JPEG says beside its picture and a reader needs: its density (APP0), its colours (APP2, APP14). */
const NEEDED: readonly number[] = [0xe0, 0xe2, 0xee];
const SCAN = 0xda;
const COMMENT = 0xfe;

/**
 * A JPEG without notes beside the picture. Some browsers write notes of their own into what was drawn, and the server
 * takes no photo with any: where and with what it was taken would stand there. (ITU-T T.81, B.1.1.)
 */
export function bare(jpeg: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer> {
  if (jpeg[0] !== 0xff || jpeg[1] !== 0xd8) throw new Error("this is no JPEG");
  const kept: Uint8Array[] = [jpeg.subarray(0, 2)];
  for (let at = 2; ; ) {
    const start = at;
    while (jpeg[at] === 0xff && jpeg[at + 1] === 0xff) at += 1; // a mark may be filled up before it
    const mark = jpeg[at + 1];
    if (jpeg[at] !== 0xff || mark === undefined || at + 4 > jpeg.length) throw new Error("this JPEG has no picture");
    if (mark === SCAN) {
      kept.push(jpeg.subarray(at));
      return joined(kept);
    }
    const end = at + 2 + ((jpeg[at + 2]! << 8) | jpeg[at + 3]!);
    if (end < at + 4 || end > jpeg.length) throw new Error("this JPEG is broken off");
    const note = mark === COMMENT || (mark >= 0xe0 && mark <= 0xef && !NEEDED.includes(mark));
    if (!note) kept.push(jpeg.subarray(start, end));
    at = end;
  }
}

function joined(pieces: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  const whole = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}
