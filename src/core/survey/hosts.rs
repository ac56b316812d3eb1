//! What stands on something else comes after it.

/// Numbers below `count` in an order in which each comes after its host, where it has one; that of the numbers where it
/// can be. O(count²) where each has the next one for a host, else O(count).
///
/// # Errors
/// The first number that hangs, from host to host, on itself or on one that is not there.
pub(crate) fn hosts_first(count: usize, host: impl Fn(usize) -> Option<usize>) -> Result<Vec<usize>, usize> {
    let mut order = Vec::with_capacity(count);
    let mut is_placed = vec![false; count];
    loop {
        let before = order.len();
        for number in 0..count {
            let can_be = host(number).is_none_or(|host| is_placed.get(host).copied().unwrap_or(false));
            if can_be && !is_placed[number] {
                is_placed[number] = true;
                order.push(number);
            }
        }
        let Some(left) = is_placed.iter().position(|placed| !placed) else { return Ok(order) };
        if order.len() == before {
            return Err(left);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_comes_after_its_host() {
        let none = [None, None, None];
        assert_eq!(hosts_first(3, |number| none[number]), Ok(vec![0, 1, 2]));
        let chain = [Some(1), Some(2), None, Some(0)];
        assert_eq!(hosts_first(4, |number| chain[number]), Ok(vec![2, 1, 0, 3]));
    }

    #[test]
    fn circles_and_hosts_that_are_not_there_are_told() {
        let circle = [None, Some(2), Some(1), Some(2)];
        assert_eq!(hosts_first(4, |number| circle[number]), Err(1));
        assert_eq!(hosts_first(1, |_| Some(0)), Err(0));
        assert_eq!(hosts_first(2, |number| (number == 1).then_some(7)), Err(1));
    }
}
