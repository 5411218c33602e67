// The answer of /api/stock.
export interface StockItem {
  id: string; on_hand: number; usable: number; expired: number; reserved: number; mine: number; soonest: string | null; low: boolean; findings: string[];
}
export interface Batch { id: string; lot: string; expires: string; count: number }
export interface Stock { day: string; below: number; within_days: number; items: StockItem[]; expired: Batch[]; expiring: Batch[] }
