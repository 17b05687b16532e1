//! The branching order: the column with the highest activity in late conflicts
//! (VSIDS; Moskewicz and others 2001), towards its saved phase.

/// Columns in a heap by activity.
pub(super) struct ActivityOrder {
    pub activity: Vec<f64>,
    step: f64,
    heap: Vec<u32>,
    place: Vec<u32>,
}

const OUT: u32 = u32::MAX;
const DECAY: f64 = 0.95;

impl ActivityOrder {
    pub fn new(activity: Vec<f64>) -> Self {
        let n = activity.len();
        let mut order =
            ActivityOrder { activity, step: 1.0, heap: Vec::new(), place: vec![OUT; n] };
        (0..n as u32).for_each(|c| order.insert(c));
        order
    }

    fn above(&self, a: u32, b: u32) -> bool {
        let (x, y) = (self.activity[a as usize], self.activity[b as usize]);
        x > y || (x == y && a < b)
    }

    pub fn insert(&mut self, c: u32) {
        if self.place[c as usize] == OUT {
            self.place[c as usize] = self.heap.len() as u32;
            self.heap.push(c);
            self.up(self.heap.len() - 1);
        }
    }

    pub fn bump(&mut self, c: u32) {
        self.activity[c as usize] += self.step;
        if self.activity[c as usize] > 1e100 {
            self.activity.iter_mut().for_each(|a| *a *= 1e-100);
            self.step *= 1e-100;
        }
        if self.place[c as usize] != OUT {
            self.up(self.place[c as usize] as usize);
        }
    }

    pub fn decay(&mut self) {
        self.step /= DECAY;
    }

    pub fn pop(&mut self) -> Option<u32> {
        let top = *self.heap.first()?;
        let last = self.heap.pop()?;
        self.place[top as usize] = OUT;
        if !self.heap.is_empty() {
            self.heap[0] = last;
            self.place[last as usize] = 0;
            self.down(0);
        }
        Some(top)
    }

    fn swap(&mut self, a: usize, b: usize) {
        self.heap.swap(a, b);
        self.place[self.heap[a] as usize] = a as u32;
        self.place[self.heap[b] as usize] = b as u32;
    }

    fn up(&mut self, mut at: usize) {
        while at > 0 && self.above(self.heap[at], self.heap[(at - 1) / 2]) {
            self.swap(at, (at - 1) / 2);
            at = (at - 1) / 2;
        }
    }

    fn down(&mut self, mut at: usize) {
        loop {
            let mut top = at;
            for child in [2 * at + 1, 2 * at + 2] {
                if child < self.heap.len() && self.above(self.heap[child], self.heap[top]) {
                    top = child;
                }
            }
            if top == at {
                return;
            }
            self.swap(at, top);
            at = top;
        }
    }
}
