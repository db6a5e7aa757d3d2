//! Units, money, ids, findings and workings: the vocabulary every other crate speaks
