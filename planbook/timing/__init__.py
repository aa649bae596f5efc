"""Timetables: of a class at shared stations, of one person alone, and of any project with shared resources.

Plain data in (`problem`), a timetable played back as persons out (`class_table`). Plans and files are unknown here.
"""
