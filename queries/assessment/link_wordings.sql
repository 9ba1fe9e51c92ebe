-- Rooms to compare by their letters. One row per two rooms as written.
select distinct
    earlier_room,
    later_room
from link_candidates
order by earlier_room, later_room
