// SPDX-License-Identifier: Apache-2.0
#pragma once
// A set of teaching files as files in memory. Below student/ lies what students may have: question pages, pictures, sheets and slides, made of the cases' question sides alone and named by
// number, so that they are the same to the byte whatever the answers. Below teacher/ lie keys, answer slides, levels and the comparison plate.
#include <functional>
#include <string>
#include <vector>

#include "perisclera/teaching/case_level.h"
#include "perisclera/teaching/comparison_plate.h"
#include "perisclera/teaching/teaching_case.h"

namespace perisclera::teaching {

/// What a set keeps of a case once its files are made.
struct SetCase {
    QuestionRecord question;
    AnswerRecord answer;
    CaseLevel level;
    bool level_by_teacher = false;
    std::size_t slides = 0, answer_slides = 0;
};

/// In 64 greys: about two thirds of the size, in steps that the noise of images hides.
report::GreyPixels in_few_greys(report::GreyPixels pixels);

/// A picture of the answer's side by its path there.
using FigureOf = std::function<Result<report::GreyPixels>(const std::string&)>;

/// The files of one case, its number counted from 1; fills in how many slides there are. Errors: those of `figure`, internal_fault.
Result<std::vector<report::OutputFile>> set_case_files(const TeachingCase& one, const FigureOf& figure, std::size_t number, SetCase& kept);

/// Indices, sheets of the whole set, plate and teacher/set.json. Precondition: one case or more. Errors: those of `picture`, internal_fault.
Result<std::vector<report::OutputFile>> set_files(const std::vector<SetCase>& cases, const PictureOf& picture);

/// Levels with their reasons, and what the plate shows from where: teacher/set.json.
std::string set_json(const std::vector<SetCase>& cases);

}  // namespace perisclera::teaching
