"""The pages' views: parse, call one service or query, show."""
