"""The room file: what a person may write in it, and the messages when it is wrong."""
