import type { PyodideInterface } from "pyodide";

export function packing(): Promise<{ python: PyodideInterface; pack: any; started: string[] }>;
