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
  return new Uint8Array(await blob.arrayBuffer());
}
