//! One way to list an enum, held by the compiler.

/// Gives an enum without fields its list `ALL`, in the order written. A
/// variant that is missing or stands twice fails to compile. Where the list
/// stands in the order of the enum, a table with a row for each is held by
/// [`rows_in_order`].
macro_rules! all {
    ($vis:vis $of:ident: $($variant:ident),+ $(,)?) => {
        impl $of {
            /// All of them.
            $vis const ALL: [Self; [$(stringify!($variant)),+].len()] = [$(Self::$variant),+];
        }

        const _: fn($of) = |one| match one {
            $($of::$variant)|+ => {}
        };
    };
}

/// Fails to compile unless each row of a table stands at the place of its
/// enum's variant. A table of `ALL.len()` rows then has one for each.
macro_rules! rows_in_order {
    ($table:ident, $id:ident) => {
        const _: () = {
            let mut i = 0;
            while i < $table.len() {
                assert!($table[i].$id as usize == i, "a row stands in the wrong place");
                i += 1;
            }
        };
    };
}
