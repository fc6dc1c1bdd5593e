// Package district writes the invented district of Averholt as a project
// folder: the ground and the life on it, which are generated, and the project
// file with its profiles and wording, which people wrote.
package district
