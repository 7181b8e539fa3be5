"""What a golfer describes, as frozen structs: no behaviour beyond checks, no files, no Qt."""
