package paper

import "ashbook/journal/pattern"

// Words of a note that say what a clause is about.
var (
	clockWords = `(\d{1,2}(?:[:.h]?\d{2})?\s*(?:am|pm|a\.m\.|p\.m\.|[ap]\b)|\d{1,2}[:h]\d{2}|\d{1,2}\.\d{2}(?:\s*h)?|midnight|noon)`
	timedText  = pattern.New(`(?i)(?:\b(at|by|around|about|till|til|until|to|from|before|@)\s+)?\b` + clockWords + `(?:$|[\s,;])`)
	bareTimed  = pattern.New(`(?i)(?:\b(at|by|around|till|til|until|@)\s+|@)(\d{1,2})(?:$|[\s,;])`)
	spanWords  = pattern.New(`(?i)\b(?:(?:took|for|about|in|after|total|lasted)\s+)*(\d{1,2}(?:[.,:]\d{1,2})?\s*(?:h|hrs?|hours?)(?:\s+(?:and )?\d{1,2}\s*(?:m|min|mins|minutes)?|\d{1,2}\s*(?:m|min|mins|minutes))?(?:\s*and a half)?|\d{2,3}\s*(?:min|mins|minutes)|an hour|half an hour)(?:\s+(?:total|in all|all told|later|cook))?(?:$|[\s,;])`)
	spanGlued  = pattern.New(`(?i)\b(?:took|for|lasted|total|in)\s+(\d{1,2}h\d{2})(?:$|[\s,;])`)
	tempWords  = pattern.New(`(?i)\b(\d{2,3})(?:\.\d)?\s*(?:°|deg(?:rees)?)?\s*([fc])?\b`)
	doubtful   = pattern.New(`(?i)\b(should|would|could|next time|will|if|why|maybe|perhaps|didn't|did not|never|forgot|instead|wish|too|last time|usually|probably|next)\b|\?`)
	pitWords   = pattern.New(`(?i)\b(pit|smoker|cooker|grill|grate|chamber|kettle|drum|offset|ran|running|smoked|cooked|fire)\b`)
	onWords    = pattern.New(`(?i)\b(?:(?:went|go|put|meat|got|were|was) )?(on|started|start|in the smoker|lit and on|loaded|auf|rauf)\b|^in$`)
	offWords   = pattern.New(`(?i)\b(?:(?:came|took|taken|pulled|was|were|it) )*(off|pulled|done|finished|ready|out|ab|runter)\b`)
	restWords  = pattern.New(`(?i)\b(rest|rested|resting|held|hold|cooler|box|boxed|hotbox|(?:let|left) (?:it|them) (?:sit|stand))\b`)
	boxWords   = pattern.New(`(?i)\b(held|hold|cooler|box|boxed|hotbox)\b`)
	ateWords   = pattern.New(`(?i)\b(ate|served|dinner|lunch|eaten|supper|serving)\b`)
	wrapWords  = pattern.New(`(?i)\b(foil\w*|paper\w*|wrap\w*|boat\w*|crutch\w*|unwrapped|naked|bare)\b`)
	peopleText = pattern.New(`(?i)\b(?:for|fed|feeding)\s+(\d{1,4})(?:\s+(?:people|guests|of us|folks|friends|eaters)\b|$)|\b(\d{1,4})\s+(?:people|guests|folks|eaters)\b`)
	woodText   = pattern.New(`(?i)\b(oak|post oak|hickory|cherry|apple|pecan|maple|beech|mesquite|alder|plum|peach|pear|walnut|olive|almond|buche|eiche|kirsche|apfel)(?:\s+(?:wood|chunks?|splits?|logs?|smoke))?\b`)
	nextDay    = pattern.New(`(?i)\s*\b(?:the )?(?:next|following) (?:day|morning)\b`)
	pitAlone   = pattern.New(`(?i)(?:^|\b(?:in|with|using) (?:the|my) )(kettle|offset|drum|bullet|ceramic|pellet grill)\b`)
	trimText   = pattern.New(`(?i)\btrimmed (?:down )?(?:to |weight )?(\d{1,3}(?:[.,]\d{1,2})?)\s*(lb|kg)?s?\b|\b(\d{1,3}(?:[.,]\d{1,2})?)\s*(lb|kg)s? trimmed\b|\b(\d{1,3}(?:[.,]\d{1,2})?)\s*(lb|kg)?s? after trim(?:ming)?\b`)
	tenderText = pattern.New(`(?i)\bprobed? (?:was |went |slid )?(?:tender|like butter|right in)\b`)
	pitMoved   = pattern.New(`(?i)\b(?:fell|dropped|dipped|sank|spiked|rose|climbed|jumped|shot up|crept)\b`)
	airText    = pattern.New(`(?i)\b(?:air|ambient|outside|outdoors)(?: temp| was| at| about)* (-?\d{1,3})\s*°?\s*([cf])?\b`)
	inMeatText = pattern.New(`(?i)\b(?:inside|internal|core|kern|kerntemperatur|middle|breast|thigh|flat|point|meat)\b`)
	totalText  = pattern.New(`(?i)\b(?:total|in all|all told)\b`)
	countText  = pattern.New(`(?i)\b(\d|two|three|four) (butts|shoulders|briskets|racks|roasts|pieces)\b`)
	pitText    = pattern.New(`(?i)\bon (?:the|my) (kettle|offset|drum|smoker|ceramic|bullet|cabinet|brick pit|gas grill|pellet grill)\b`)
)
