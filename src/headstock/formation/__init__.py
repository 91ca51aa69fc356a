"""Ends, joints, places, the train and its one state; what can be joined to what."""
